"""What a home is: frozen, typed values in the words of the trade. No reading, judging or drawing.

The classes are the record format: field names here, with hyphens for underscores, are the keys a technician
types, and the published JSON Schema is made from them.
"""
