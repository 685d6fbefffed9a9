"""Text on disk to model, with line and column of every value. The only place that knows YAML.

Start at :func:`asfitted.record.reader.read`.
"""
