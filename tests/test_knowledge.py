"""The knowledge that ships holds; what does not hold is refused with its file, line and key."""

from __future__ import annotations

from pathlib import Path

import pytest

from askcode.rulebase import text_yaml
from askcode.rulebase.book import Book, factor_value
from askcode.rulebase.check import check
from askcode.rulebase.layers import knowledge_folder
from askcode.rulebase.load import load
from askcode.rulebase.schemas import Rule, by_edition, convert
from askcode.rulebase.text_yaml import KnowledgeError

ROD = """\
rod-depth:
  section: {"2017": "250.53(G)", "2020": "250.53(A)(4)", "2023": "250.53(A)(4)", "2026": to-check}
  title: Depth of rods
  force: requirement
  about: ["ground rod"]
  answer: "Drive it until {least_contact} of it touches the soil."
  says: At least {least_contact} of a rod touches the soil.
  values: {least_contact: "8 ft", least_trench: {"2017": "30 in", "2023": "31 in"}}
  lists:
    permits: [{is: "a slant of 45 degrees", editions: ["2020", "2023"]}, {is: "driven straight"}]
  verdict: {holds: {"2017": "yes", "2023": "no"}, of: "a rod is driven straight"}
  asked_as: ["how deep does a ground rod go", "can i lay a ground rod sideways"]
  cautions: [buried-utilities]
  sure: from-memory
"""
CAUTIONS = "buried-utilities: Have buried lines located before you dig.\n"
FACTORS = """\
share: {value: {"2017": "3 VA", "2023": "12.5%"}, unit: "%", entry: rod-depth, source: by hand, sure: from-memory}
gone: {value: {"2017": "3 VA", "2023": none}, unit: VA, source: by hand, sure: from-memory}
"""
TABLE = """\
number: {"2017": "9.1", "2020": "9.1", "2023": "9.2", "2026": to-check}
title: Currents
key: horsepower
columns:
  horsepower: {unit: hp, kind: number}
  "230": {unit: A, kind: number, title: "230 V"}
entry: rod-depth
source: by hand
sure: from-memory
"""


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ASKCODE_CACHE", str(tmp_path / "cache"))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A small knowledge folder: one entry, one caution, two factors, one table that differs in 2017."""
    root = tmp_path / "small"
    for name in ("rules", "tables", "vocabulary", "coverage"):
        (root / name).mkdir(parents=True)
    (root / "rules" / "250.yaml").write_text(ROD)
    (root / "cautions.yaml").write_text(CAUTIONS)
    (root / "factors.yaml").write_text(FACTORS)
    (root / "tables" / "currents.yaml").write_text(TABLE)
    (root / "tables" / "currents.csv").write_text('horsepower,230\n1/2,4.9\n"7 1/2",40\n')
    (root / "tables" / "currents.2017.csv").write_text("230,horsepower\n5,1/2\n")
    (root / "vocabulary" / "metal.yaml").write_text("metal:\n  copper: [copper, cu]\n")
    (root / "vocabulary" / "more.yaml").write_text("metal:\n  copper: [cu, kupfer]\n  aluminum: [al]\n")
    return root


def overlay_of(tmp_path: Path, file: str, text: str) -> Path:
    path = tmp_path / "town" / file
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text)
    return tmp_path / "town"


# --- the knowledge that ships ---------------------------------------------------------------------------------------
def test_the_knowledge_that_ships_loads_without_a_problem() -> None:
    assert load().problems == []


def test_the_knowledge_that_ships_leads_somewhere_everywhere() -> None:
    assert check().problems == []


def test_the_summary_counts_what_is_unchecked() -> None:
    assert any(line.startswith("sections to check: 2017 ") for line in check().summary)


def test_an_entry_never_says_a_brace() -> None:
    book = Book.open()
    assert [e.id for e in book.entries() if "{" in e.answer + e.says] == []


@pytest.mark.parametrize("edition", ["2017", "2020", "2023", "2026"])
def test_every_table_opens_in_every_edition(edition: str) -> None:
    book = Book.open(edition)
    for name in book.tables():
        table = book.table(name)
        for column in table.columns:
            table.cell(0, column.name)


def test_the_folder_is_found_in_a_checkout() -> None:
    assert (knowledge_folder() / "inputs.yaml").is_file()


# --- one edition ----------------------------------------------------------------------------------------------------
def test_an_entry_is_resolved_for_its_edition(folder: Path) -> None:
    entry = Book.open("2017", folder=folder).entry("rod-depth")
    assert (entry.section, entry.section_checked) == ("250.53(G)", True)
    assert entry.answer == "Drive it until 8 ft of it touches the soil."
    assert [item.what for item in entry.lists["permits"]] == ["driven straight"]
    assert entry.verdict is not None
    assert entry.verdict.holds is True
    newer = Book.open("2023", folder=folder).entry("rod-depth")
    assert newer.verdict is not None
    assert newer.verdict.holds is False
    assert newer.values["least_trench"] == "31 in"


def test_an_edition_to_check_takes_the_nearest_section_and_says_so(folder: Path) -> None:
    entry = Book.open("2026", folder=folder).entry("rod-depth")
    assert (entry.section, entry.section_checked) == ("250.53(A)(4)", False)


@pytest.mark.parametrize(
    ("edition", "said", "checked"),
    [("2017", "a", True), ("2020", "a", False), ("2023", "b", True), ("2026", "b", False)],
)
def test_a_map_by_edition(edition: str, said: str, checked: bool) -> None:
    assert by_edition({"2017": "a", "2023": "b", "2026": "to-check"}, edition) == (said, checked)


def test_an_earlier_edition_is_preferred_and_a_later_one_taken_where_there_is_none() -> None:
    assert by_edition({"2017": "to-check", "2020": "b"}, "2017") == ("b", False)


def test_a_table_has_its_own_rows_and_number_by_edition(folder: Path) -> None:
    old, new = Book.open("2017", folder=folder).table("currents"), Book.open("2023", folder=folder).table("currents")
    assert (old.number, old.exact("1/2")["230"]) == ("9.1", 5.0)  # its columns stand in another order
    assert (new.number, new.exact("1/2")["230"], new.exact(7.5)["230"]) == ("9.2", 4.9, 40.0)


def test_factors_by_edition(folder: Path) -> None:
    old, new = Book.open("2017", folder=folder), Book.open("2026", folder=folder)
    assert old.factor("share").value == 3.0  # type: ignore[union-attr]
    assert new.factor("share").value == 0.125  # type: ignore[union-attr]
    assert not new.factor("share").checked  # type: ignore[union-attr]
    assert old.factor("gone") is not None
    assert Book.open("2023", folder=folder).factor("gone") is None
    assert new.factor("nosuch") is None


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("125%", "%", 1.25),
        ("12.5%", "%", 0.125),
        ("3 VA", "VA", 3.0),
        ("1 1/4 in", "in", 1.25),
        ("1/2 in", "in", 0.5),
        ("1,100,000", "cmil", 1_100_000.0),
        ("1/0", "size", "1/0"),
        ("1.732", "number", 1.732),
        ("-5 °C", "°C", -5.0),
        ("none of it", "A", "none of it"),
    ],
)
def test_the_number_in_a_factor(text: str, unit: str, value: float | str) -> None:
    assert factor_value(text, unit) == value


def test_vocabulary_is_merged_over_files(folder: Path) -> None:
    words = Book.open(folder=folder).vocabulary()
    assert words == {"metal": {"copper": ["copper", "cu", "kupfer"], "aluminum": ["al"]}}


def test_what_is_not_there_is_said(folder: Path) -> None:
    book = Book.open(folder=folder)
    assert not book.has_table("nosuch")
    assert not book.has_entry("nosuch")
    for look in (book.table, book.entry, book.caution):
        with pytest.raises(KeyError, match="nosuch"):
            look("nosuch")
    with pytest.raises(ValueError, match="2017, 2020, 2023, 2026"):
        Book.open("2021", folder=folder)


# --- what YAML lets slip --------------------------------------------------------------------------------------------
def test_scalars_stay_as_typed() -> None:
    typed = text_yaml.loads('a: 250.50\nb: no\nc: 00\nd: 12:30\ne: 1/0\nf: 2023-01-01\ng: ~\nh: ""', "x.yaml")
    assert list(typed.data.values()) == ["250.50", "no", "00", "12:30", "1/0", "2023-01-01", "~", ""]


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("a: 1\nb: 2\na: 3\n", 3, "second time (first on line 1)"),
        ("a:\n  - {x: 1, x: 2}\n", 2, "second time"),
        ("a: &x [1]\n", 1, "anchors"),
        ("a: [1]\nb: *x\n", 2, "anchors"),
        ("a: !!python/object:os.system x\n", 1, "tags"),
        ("a: 1\n---\nb: 2\n", 2, "more than one document"),
        ("a: [1\nb: 2\n", 2, "not YAML"),
        ("a: b: c\n", 1, "not YAML"),
        ("? [a, b]\n: c\n", 1, "key must be a text"),
        ("a: " + "[" * 40 + "]" * 40, 1, "nested deeper"),
        ("[" * 3000, None, "not YAML"),
        ("\t- a: \x01", None, "not YAML"),
    ],
)
def test_what_is_refused_in_yaml(text: str, line: int | None, says: str) -> None:
    with pytest.raises(KnowledgeError) as refused:
        text_yaml.loads(text, "x.yaml")
    assert says in str(refused.value) or (says == "not YAML" and "nested" in str(refused.value))
    assert refused.value.file == "x.yaml"
    if line:
        assert refused.value.line == line


def test_a_billion_laughs_are_refused_at_once() -> None:
    laughs = "a: &a [x,x,x]\n" + "".join(
        f"{c}: &{c} [*{p},*{p},*{p}]\n" for p, c in zip("abcdefg", "bcdefgh", strict=True)
    )
    with pytest.raises(KnowledgeError, match="anchors"):
        text_yaml.loads(laughs, "x.yaml")


def test_a_large_file_and_bytes_that_are_no_text_are_refused(tmp_path: Path) -> None:
    (tmp_path / "large.yaml").write_bytes(b"a: " + b"x" * text_yaml.LARGEST_FILE)
    (tmp_path / "bytes.yaml").write_bytes(b"a: 1\nb: \xff\xfe\n")
    with pytest.raises(KnowledgeError, match="larger than 1 MB"):
        text_yaml.load(tmp_path / "large.yaml")
    with pytest.raises(KnowledgeError, match=r"bytes.yaml:2: is not UTF-8"):
        text_yaml.load(tmp_path / "bytes.yaml")
    with pytest.raises(KnowledgeError, match="cannot be read"):
        text_yaml.load(tmp_path / "nosuch.yaml")


# --- what the schema refuses ----------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("was", "now", "says"),
    [
        ("  title: Depth of rods\n", "", "x.yaml:1: rod-depth: lacks the key 'title'"),
        ("  title:", "  titel:", "x.yaml:3: rod-depth → titel: there is no key 'titel' here"),
        ("requirement", "requirment", "x.yaml:4: rod-depth → force: invalid enum value 'requirment'"),
        ("sure: from-memory", "sure: certain", "x.yaml:14: rod-depth → sure: invalid enum value 'certain'"),
        ('["how deep does a ground rod go", ', "[{a: b}, ", "x.yaml:12: rod-depth → asked_as.0: expected a text"),
        (
            "cautions: [buried-utilities]",
            "cautions: buried",
            "x.yaml:13: rod-depth → cautions: expected a list, got a text",
        ),
        ("permits:", "permts:", "x.yaml:9: rod-depth → lists: invalid enum value 'permts' as a key"),
        (
            '{is: "driven straight"}',
            '{iz: "driven straight"}',
            "x.yaml:10: rod-depth → lists.permits.1.iz: there is no key",
        ),
        ("  cautions:", "  file: other\n  cautions:", "x.yaml:13: rod-depth → file: there is no key 'file' here"),
    ],
)
def test_an_entry_that_does_not_hold_is_placed(was: str, now: str, says: str) -> None:
    document = text_yaml.loads(ROD.replace(was, now), "x.yaml")
    with pytest.raises(KnowledgeError) as refused:
        convert(document, ("rod-depth",), document.data["rod-depth"], Rule)
    assert str(refused.value).startswith(says)


def test_one_bad_entry_is_left_out_and_told(folder: Path) -> None:
    (folder / "rules" / "300.yaml").write_text(
        ROD.replace("rod-depth", "other").replace("force: requirement", "force: x")
    )
    (folder / "rules" / "310.yaml").write_text("a: [")
    (folder / "rules" / "320.yaml").write_text(ROD)
    known = load(folder)
    assert list(known.rules) == ["rod-depth"]
    assert len(known.problems) == 3
    assert "small/rules/320.yaml:1: rod-depth: has this name already in small/rules/250.yaml:1" in known.problems


@pytest.mark.parametrize(
    ("file", "text", "says"),
    [
        ("tables/currents.csv", "horsepower,230\n1/2,x\n", "currents.csv:2: 230: 'x' is no number"),
        ("tables/currents.csv", "horsepower,230\n1/2\n", "currents.csv:2: has 1 cells where the header has 2"),
        ("tables/currents.csv", "horsepower\n1/2\n", "currents.csv:1: lacks the column '230'"),
        ("tables/currents.csv", "horsepower,230,460\n", "currents.csv:1: the column '460' is not in the YAML"),
        ("tables/currents.csv", "horsepower,230\n1/0,4\n", "currents.csv:2: horsepower: '1/0' is no number"),
        ("tables/currents.2018.csv", "horsepower,230\n", "'2018', which is no edition"),
        ("tables/alone.csv", "a,b\n", "has no alone.yaml beside it"),
        ("tables/empty.yaml", TABLE, "has no CSV beside it"),
        ("cautions.yaml", "buried-utilities: [a]\n", "cautions.yaml:1: buried-utilities: must be one text"),
        ("vocabulary/metal.yaml", "metal: [copper]\n", "metal.yaml:1: metal: must map names to lists of words"),
    ],
)
def test_other_files_that_do_not_hold(folder: Path, file: str, text: str, says: str) -> None:
    (folder / file).write_text(text)
    assert any(says in problem for problem in load(folder).problems)


# --- the lint -------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("was", "now", "says"),
    [
        ("cautions: [buried-utilities]", "cautions: [nosuch]", "cautions leads to nosuch, which is not there"),
        ("  cautions:", "  see: [nosuch]\n  cautions:", "see leads to nosuch"),
        ("{least_contact} of it", "{least_contct} of it", "answer names {least_contct}"),
        ('"2026": to-check', '"2025": to-check', "section names '2025', which is no edition"),
        ('"2026": to-check', '"2023 ": to-check', "section does not say 2026"),
        ('least_contact: "8 ft"', 'least_contact: "some"', "holds no number to compare with"),
        ('{"2017": "yes", "2023": "no"}', '"perhaps"', "neither yes nor no"),
        (', of: "a rod is driven straight"', "", "`holds` and `of` go together"),
        ('editions: ["2020", "2023"]', 'editions: ["2021"]', "is for '2021', which is no edition"),
    ],
)
def test_the_lint_of_entries(folder: Path, was: str, now: str, says: str) -> None:
    assert was in ROD
    (folder / "rules" / "250.yaml").write_text(ROD.replace(was, now))
    assert any(says in problem for problem in check(folder).problems)


def test_the_small_folder_itself_has_two_known_problems(folder: Path) -> None:
    assert [problem.split(": ", 1)[1] for problem in check(folder).problems] == [
        "share: '3 VA' and the unit % do not agree about the percent sign"
    ]


def test_the_lint_warns_of_few_phrasings_loose_numbers_and_twins(folder: Path) -> None:
    twin = ROD.replace("rod-depth", "twin").replace("At least {least_contact}", "At least 8 ft")
    (folder / "rules" / "260.yaml").write_text(twin)
    warnings = "\n".join(check(folder).warnings)
    assert "twin: has 2 ways to ask it" in warnings
    assert "twin: says '8 ft' in so many words; write {least_contact}" in warnings
    assert "twin: is asked as 'how deep does a ground rod go', and so is rod-depth" in warnings


# --- amendments -----------------------------------------------------------------------------------------------------
def test_three_lines_amend_an_entry(folder: Path, tmp_path: Path) -> None:
    town = overlay_of(tmp_path, "rules/town.yaml", 'rod-depth:\n  values: {least_contact: "10 ft"}\n')
    entry = Book.open(folder=folder, overlay=town).entry("rod-depth")
    assert entry.amended
    assert entry.answer == "Drive it until 10 ft of it touches the soil."
    assert entry.values["least_trench"] == "31 in"
    assert not Book.open(folder=folder).entry("rod-depth").amended


def test_an_amended_factor_or_table_marks_the_entry_that_states_it(folder: Path, tmp_path: Path) -> None:
    town = overlay_of(tmp_path, "factors.yaml", 'share: {value: "20%"}\n')
    book = Book.open("2017", folder=folder, overlay=town)
    assert book.factor("share").value == 0.2  # type: ignore[union-attr]
    assert book.entry("rod-depth").amended
    county = overlay_of(tmp_path / "b", "tables/currents.csv", "horsepower,230\n1/2,6\n")
    book = Book.open("2017", folder=folder, overlay=county)
    assert book.table("currents").exact("1/2")["230"] == 6.0  # the base edition's own sheet is amended too
    assert book.entry("rod-depth").amended


@pytest.mark.parametrize(
    ("file", "text", "says"),
    [
        (
            "rules/town.yaml",
            'rod-depth:\n  values: {least_contct: "10 ft"}\n',
            "town.yaml:2: rod-depth → least_contct: the entry has no such",
        ),
        ("rules/town.yaml", "rod-depth:\n  sure: yes\n", "town.yaml:2: rod-depth → sure"),
        ("rules/town.yaml", "new-rule:\n  title: a\n", "town.yaml:1: new-rule: lacks the key"),
        ("rule/town.yaml", "rod-depth: {}\n", "town/rule/town.yaml: is not read here"),
        ("rules/town.yml", "rod-depth: {}\n", "town/rules/town.yml: is not read here"),
        ("tables/currents.csv", "horsepower,230\n1/2,x\n", "currents.csv:2: 230: 'x' is no number"),
        ("tables/other.csv", "a\n1\n", "has no other.yaml beside it"),
        ("factors.yaml", "a: *b\n", "factors.yaml:1"),
    ],
)
def test_a_bad_amendment_is_refused_whole(folder: Path, tmp_path: Path, file: str, text: str, says: str) -> None:
    town = overlay_of(tmp_path, file, text)
    with pytest.raises(KnowledgeError) as refused:
        Book.open(folder=folder, overlay=town)
    assert says in str(refused.value)


def test_no_amendments_folder(folder: Path, tmp_path: Path) -> None:
    with pytest.raises(KnowledgeError, match="no such amendments folder"):
        Book.open(folder=folder, overlay=tmp_path / "nosuch")


def test_a_problem_of_the_knowledge_itself_does_not_refuse_the_amendments(folder: Path, tmp_path: Path) -> None:
    (folder / "rules" / "310.yaml").write_text("a: [")
    town = overlay_of(tmp_path, "rules/town.yaml", "rod-depth:\n  title: Depth here\n")
    book = Book.open(folder=folder, overlay=town)
    assert book.entry("rod-depth").title == "Depth here"
    assert len(book.problems) == 1
