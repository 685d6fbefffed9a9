"""The catalogue: text, limits and sources as data; checks that turn a surveyed home into findings.

``data/*.toml``   the rules, one file a family; ``sources.toml`` what they rest on
``catalogue``     reads the data into values
``case``          a home laid out for judging
``checks/``       one module a family of checks, each a plain function
``judge``         every rule over a home
``placing``       surfaces, and what rules forbid of them
``where``         where a device may go in a room
``siting``        the move that puts a device right
"""
