"""Install records of the alarms in a home: read, compute, judge, plan and draw, write.

The packages are listed in the order in which data flows; a package imports those above it only.

``model``     what a home is
``record``    text on disk to model, with line and column of every value
``dwelling``  rooms, walls, ceilings and doors as shapes
``rules``     the catalogue, its checks, and where a device may go
``upkeep``    tasks, intervals, visits, calendars
``drawing``   plans and sections as SVG
``history``   revisions of a record
``pages``     what each page shows, the two editions, the site engine
``fleet``     many homes
``cli``       one thin module a command
"""
