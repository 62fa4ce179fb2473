"""How people say things: from typed text to facts. Imports nothing of the tool; it is told vocabulary and inputs.

reader = Reader(vocabulary, inputs)
reading = reader.read("2 hp 120 V single phase copper 75 C")
"""

from parsers.reading import Ask, Entity, Fact, Option, Reader, Reading

__all__ = ["Ask", "Entity", "Fact", "Option", "Reader", "Reading"]
