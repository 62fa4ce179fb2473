"""The form of a question, whether it follows up, its pasted options: told by patterns/forms.yaml."""

from __future__ import annotations

import re

from parsers.quantities import load_yaml

_OPTION_LINE = re.compile(r"(?:^|\n)\s*[(\[]?([a-hA-H])[).:\]]\s+(?=\S)")
_OPTION_IN_LINE = re.compile(r"(?:(?<=\s)|^)[(\[]?([a-hA-H])[)\]]\s*(?=\S)")
SHORT_TURN = 14  # tokens; a longer turn that ends in "for it" or begins with "no" is a question of its own


class Forms:
    """Expressions by name, and what they tell about a question."""

    def __init__(self) -> None:
        told = load_yaml("forms.yaml")
        self._follows = [
            (name.removeprefix("follow "), re.compile("|".join(alternatives)))
            for name, alternatives in told.items()
            if name.startswith("follow ")
        ]
        self.of = {name: re.compile("|".join(f"(?:{one})" for one in listed)) for name, listed in told.items()}

    def form(self, low: str, typed: str, options: bool) -> str:
        """What kind of answer is wanted; `low` and `typed` are the stem in lower case and as typed."""
        of = self.of
        if options and ((of["not_in_capitals"].search(typed) and not typed.isupper()) or of["not_among"].search(low)):
            return "which-not"
        if of["definition"].search(low):
            return "definition"
        if of["where"].search(low):
            return "where"
        if of["either"].search(low) or (of["told_in_words"].search(low) and not of["yes_at_end"].search(low)):
            return "what"
        many, what, yes, which = (of[name].search(low) for name in ("many", "what", "yes", "which"))
        if options and which and what and which.start() <= what.start():
            return "which"
        if many and not (what and what.start() < many.start() and "number" not in many[0]):
            return "how-many"
        if yes and of["yes_at_end"].search(low):
            return "yes/no"
        size = of["size"].search(low)
        if what and not (yes and yes.start() < what.start() and not size):
            return "which" if which and not size else "what"
        value = of["asks_value"].search(low)
        if yes and not (value and value.start() < yes.start() and of["value_ends"].match(yes[0])):
            return "yes/no"
        bare = of["bare_yes"].search(low)
        if bare and not (value and value.start() < bare.start()):
            return "yes/no"
        if of["least"].search(low) or of["greatest"].search(low) or "?" in low:
            return "what"
        return "statement"

    def follow(self, low: str, tokens: int) -> str | None:
        """How a turn follows the one before, if a marker says so."""
        for name, pattern in self._follows:
            if pattern.search(low):
                longer = name in ("no", "and") and tokens > SHORT_TURN and not low.startswith(("and ", "ok and "))
                if not longer:
                    return name
        return None

    def asks_max(self, low: str) -> str | None:
        """Whether the least or the greatest is asked for, by the word that comes first."""
        least, greatest = self.of["least"].search(low), self.of["greatest"].search(low)
        if least and greatest:
            return "least" if least.start() < greatest.start() else "greatest"
        return "least" if least else "greatest" if greatest else None

    def edition(self, low: str) -> str | None:
        """An edition that is named by two digits: '17 code."""
        found = self.of["edition"].search(low) if "'" in low else None
        return f"20{found[1] or found[2]}" if found else None

    @staticmethod
    def options(text: str) -> list[tuple[str, int, int, int]]:
        """Letter, start of the mark, start and end of the text of each pasted option."""
        for pattern, fewest in ((_OPTION_LINE, 2), (_OPTION_IN_LINE, 3)):
            found: list[re.Match[str]] = []
            for match in pattern.finditer(text):
                if ord(match[1].lower()) - ord("a") == len(found):
                    found.append(match)
                elif match[1].lower() == "a":
                    found = [match]
            if len(found) >= fewest:
                ends = [match.start() for match in found[1:]] + [len(text)]
                return [
                    (match[1].lower(), match.start(), match.end(), end) for match, end in zip(found, ends, strict=True)
                ]
        return []
