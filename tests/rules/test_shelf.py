from __future__ import annotations

import hashlib
from decimal import Decimal
from pathlib import Path

import pytest

from intake.rules.shelf import check, load_shelf, parse_plan
from intake.science.plan import Plan
from tests.rules.sample import TREATMENT, write

NEVER = """\
version: 1
pairs:
  - pair: [sample, salt]
    days: 36 h
    hard: yes
    why: they do not go together
    source: a paper
    mark: published
"""
SIGNS = """\
version: 1
signs:
  - id: rubbing
    title: Rubbing
    group: behaviour
    line: it rubs
    grades:
      - {seen: a little, do: [watch]}
      - {seen: more, do: [test-water]}
      - {seen: a lot, do: [call-vet, isolate]}
    causes: [WQ, PA]
    infectious: yes
    slide-from: 2
    source: a paper
    mark: published
"""
WATER = """\
version: 1
targets:
  - stages: [adult, fry]
    reading: nh3_n
    at-most: 0.02 mg/L as N
    source: a paper
    mark: published
thresholds:
  - name: drip
    value: 1 h
    source: a paper
    mark: published
"""
PLAN = """\
id: short
title: Short
version: 1
days: {value: 21 d, source: a paper, mark: published}
floor: {value: 21 d, source: a paper, mark: published}
stages:
  - {id: all, title: All of it, from-day: 0}
steps:
  - id: look
    kind: look
    task: Look at every fish
    from-day: 0
    at: ["07:30", "18:00"]
    source: a paper
    mark: published
checks:
  - check: warm-days
    days: 14
    low: 18 C
    high: 25 C
    source: a paper
    mark: published
restarts:
  sign-grade: 1
  same-sign-fish: 2
  sign-days: 14
  death-after-day: 3
  stands-after: 3 d
  source: a paper
  mark: published
"""


def fill(folder: Path) -> Path:
    write(folder, "treatments/sample.yaml", TREATMENT)
    write(folder, "never-mix.yaml", NEVER)
    write(folder, "signs.yaml", SIGNS)
    write(folder, "water.yaml", WATER)
    write(folder, "plans/short.yaml", PLAN)
    return folder


def test_a_folder_becomes_a_shelf(tmp_path: Path) -> None:
    shelf, problems = load_shelf([fill(tmp_path)])
    assert problems == []
    assert list(shelf.treatments) == ["sample"]
    assert shelf.treatments["sample"].sha256 == hashlib.sha256(TREATMENT.encode()).hexdigest()
    assert shelf.treatments["sample"].path == str(tmp_path / "treatments" / "sample.yaml")
    (pair,) = shelf.never_mix
    assert (pair.first, pair.second, pair.days, pair.hard) == (
        "sample",
        "salt",
        Decimal("1.5"),
        True,
    )
    assert shelf.signs["rubbing"].most_urgent(3) == "call-vet"
    assert shelf.signs["rubbing"].most_urgent(0) is None
    limit = shelf.water.limit("fry", "nh3_n")
    assert limit is not None
    assert limit.high == Decimal("0.02")
    assert shelf.water.limit("juvenile", "nh3_n") is None
    assert shelf.water.acclimation().drip_min == 60
    assert shelf.water.acclimation().nh3_peak_n_mg_l == 0.05
    plan = shelf.plans["short"]
    assert (plan.days, plan.restarts.stands_after_h, plan.checks[0].low_c) == (21, 72, Decimal(18))
    digest = hashlib.sha256(PLAN.encode()).hexdigest()
    assert (plan.text, plan.version, plan.sha256) == (PLAN, "1", digest)


def test_the_keepers_own_folder_overrides_by_id(tmp_path: Path) -> None:
    shipped, own = fill(tmp_path / "shipped"), tmp_path / "own"
    write(own, "treatments/sample.yaml", TREATMENT.replace("title: Sample", "title: Mine"))
    write(own, "signs.yaml", SIGNS.replace("id: rubbing", "id: humming"))
    write(
        own,
        "never-mix.yaml",
        NEVER.replace("[sample, salt]", "[salt, sample]").replace("36", "48"),
    )
    shelf, problems = load_shelf([shipped, own])
    assert problems == []
    assert shelf.treatments["sample"].title == "Mine"
    assert sorted(shelf.signs) == ["humming", "rubbing"]
    assert [p.days for p in shelf.never_mix] == [Decimal(2)]
    assert shelf.water.limit("adult", "nh3_n") is not None


def test_a_broken_file_of_the_keepers_takes_the_shipped_one_off_the_shelf(tmp_path: Path) -> None:
    shipped, own = fill(tmp_path / "shipped"), tmp_path / "own"
    write(own, "treatments/sample.yaml", TREATMENT.replace("value: 5 g/L", "value: 5,5 g/L", 1))
    write(own, "plans/short.yaml", PLAN.replace("21 d", "21", 1))
    shelf, problems = load_shelf([shipped, own])
    assert [p.code for p in problems] == ["unit-missing", "not-a-number"]
    assert shelf.treatments == {}
    assert shelf.plans == {}
    assert sorted(shelf.signs) == ["rubbing"]


def test_the_same_id_in_two_files_of_a_folder_is_refused_naming_both(tmp_path: Path) -> None:
    folder = fill(tmp_path)
    first = folder / "treatments" / "sample.yaml"
    second = write(folder, "treatments/sample.yml", TREATMENT)
    shelf, problems = load_shelf([folder])
    assert [(p.path, p.code) for p in problems] == [
        (str(first), "name-taken"),
        (str(second), "name-taken"),
    ]
    for problem in problems:
        assert str(first) in problem.text
        assert str(second) in problem.text
    assert shelf.treatments == {}


def test_an_id_claimed_by_another_file_takes_both_away(tmp_path: Path) -> None:
    folder = fill(tmp_path)
    write(folder, "treatments/other.yaml", TREATMENT)
    shelf, problems = load_shelf([folder])
    assert shelf.treatments == {}
    assert sorted(p.code for p in problems) == ["name-taken", "name-taken", "wrong-kind"]


def test_a_second_folder_that_is_not_there_is_no_problem_but_the_first_is(tmp_path: Path) -> None:
    folder = fill(tmp_path / "a")
    assert load_shelf([folder, tmp_path / "none"])[1] == []
    _, problems = load_shelf([tmp_path / "none", folder])
    assert [(p.path, p.code) for p in problems] == [(str(tmp_path / "none"), "not-a-file")]


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("treatments/x.yaml", "include: ../../secret.yaml\n"),
        ("treatments/x.yaml", "include: /etc/passwd\n"),
        ("treatments/x.yaml", "<<: !include /etc/passwd\n"),
        ("treatments/x.yaml", "a: !include /etc/passwd\n"),
    ],
)
def test_nothing_is_included(tmp_path: Path, name: str, text: str) -> None:
    write(tmp_path, name, text)
    shelf, problems = load_shelf([tmp_path])
    assert shelf.treatments == {}
    assert {p.code for p in problems} & {"unknown-key", "not-allowed"}
    assert not any("root:" in str(p) for p in problems)


def test_a_link_in_a_folder_is_refused_and_hidden_files_are_not_looked_at(tmp_path: Path) -> None:
    folder = fill(tmp_path / "a")
    outside = write(tmp_path, "outside.yaml", TREATMENT.replace("id: sample", "id: link"))
    (folder / "treatments" / "link.yaml").symlink_to(outside)
    write(folder, ".sample.yaml.swp.yaml", "x")
    shelf, problems = load_shelf([folder])
    assert [(p.path, p.code) for p in problems] == [
        (str(folder / "treatments" / "link.yaml"), "not-a-file")
    ]
    assert list(shelf.treatments) == ["sample"]


def test_a_linked_folder_is_told_and_not_read(tmp_path: Path) -> None:
    real = fill(tmp_path / "real")
    folder = tmp_path / "a"
    folder.mkdir()
    (folder / "treatments").symlink_to(real / "treatments")
    shelf, problems = load_shelf([folder])
    assert [(p.path, p.code) for p in problems] == [(str(folder / "treatments"), "not-a-file")]
    assert shelf.treatments == {}


def test_a_folder_or_file_of_no_known_kind_is_a_problem(tmp_path: Path) -> None:
    write(tmp_path, "treatment/sample.yaml", TREATMENT)
    write(tmp_path, "colours.yaml", "a: 1\n")
    _, problems = load_shelf([tmp_path])
    assert [(Path(p.path).name, p.code) for p in problems] == [
        ("colours.yaml", "no-such-name"),
        ("treatment", "no-such-name"),
    ]


def test_a_pair_with_a_misspelt_treatment_is_a_problem_at_its_place(tmp_path: Path) -> None:
    folder = fill(tmp_path)
    write(folder, "never-mix.yaml", NEVER.replace("salt", "slat"))
    _, (problem,) = load_shelf([folder])
    assert (problem.line, problem.column, problem.code) == (3, 20, "no-such-name")
    assert "'salt'" in problem.hint
    assert check([folder]) == [problem]


def test_check_takes_files_and_folders_and_sorts_by_file_and_place(tmp_path: Path) -> None:
    folder = fill(tmp_path / "a")
    loose = write(tmp_path, "b/sample.yaml", TREATMENT.replace("title: Sample", "titel: Sample"))
    assert check([folder]) == []
    problems = check([loose, tmp_path / "none.yaml", folder])
    assert [(p.path, p.line, p.code) for p in problems] == [
        (str(loose), 1, "missing-key"),
        (str(loose), 2, "unknown-key"),
        (str(tmp_path / "none.yaml"), 1, "not-a-file"),
    ]
    assert str(problems[1]) == (
        f"{loose}:2:1: unknown-key: 'titel' is not known here; did you mean 'title'?"
    )


def test_a_plan_kept_as_text_is_read_again_whatever_its_file_was_called() -> None:
    plan = parse_plan(PLAN, "quarantine 12")
    assert isinstance(plan, Plan)
    assert (plan.text, plan.path) == (PLAN, "quarantine 12")
    problems = parse_plan(PLAN.replace("07:30", "7:30").replace("14\n", "x\n", 1), "p")
    assert isinstance(problems, list)
    assert [(p.path, p.line, p.column, p.code) for p in problems] == [
        ("p", 13, 10, "no-such-time"),
        ("p", 18, 11, "not-a-number"),
    ]
    assert isinstance(parse_plan("a: \ud800\n", "p"), list)


OTHER = [
    (SIGNS, "signs", "[WQ, PA]", "[PA, WQ]", "not-in-order"),
    (SIGNS, "signs", "[WQ, PA]", "[WQ, WQ]", "not-in-order"),
    (SIGNS, "signs", "slide-from: 2", "slide-from: 4", "out-of-range"),
    (SIGNS, "signs", "do: [watch]", "do: [wait]", "no-such-name"),
    (SIGNS, "signs", "do: [watch]", "do: []", "missing-key"),
    (SIGNS, "signs", "      - {seen: more, do: [test-water]}\n", "", "missing-key"),
    (SIGNS, "signs", "infectious: yes", "infectious: maybe", "wrong-kind"),
    (SIGNS, "signs", "signs:\n", "signs:\n" + SIGNS.split("signs:\n")[1], "name-taken"),
    (WATER, "water", "at-most: 0.02 mg/L as N", "at-most: 0.02 mg/L", "ambiguous-unit"),
    (WATER, "water", "at-most: 0.02 mg/L as N", "at-most: 0.02 mg/L as NH3", "ambiguous-unit"),
    (WATER, "water", "at-most: 0.02 mg/L as N", "text: none", "missing-key"),
    (WATER, "water", "as N\n", "as N\n    at-least: 1 mg/L as N\n", "not-in-order"),
    (WATER, "water", "[adult, fry]", "[adult, adult]", "name-taken"),
    (WATER, "water", "name: drip", "name: drop", "no-such-name"),
    (WATER, "water", "value: 1 h", "value: 1 C apart", "unknown-unit"),
    (WATER, "water", "value: 1 h", "value: -1 h", "out-of-range"),
    (NEVER, "never-mix", "[sample, salt]", "[salt, salt]", "name-taken"),
    (NEVER, "never-mix", "[sample, salt]", "[sample]", "missing-key"),
    (NEVER, "never-mix", "[sample, salt]", "[a, b, c]", "too-big"),
    (NEVER, "never-mix", "days: 36 h", "days: 36 g", "wrong-kind"),
    (NEVER, "never-mix", "days: 36 h", "days: 36", "unit-missing"),
    (NEVER, "never-mix", "pairs:\n", "pairs:\n" + NEVER.split("pairs:\n")[1], "name-taken"),
    (PLAN, "plan", "{value: 21 d", "{value: 20 d", "not-in-order"),
    (PLAN, "plan", "{value: 21 d", "{value: 21.5 d", "out-of-range"),
    (PLAN, "plan", "from-day: 0}", "from-day: 3, to-day: 1}", "not-in-order"),
    (PLAN, "plan", "kind: look", "kind: glance", "no-such-name"),
    (PLAN, "plan", "low: 18 C", "low: 26 C", "not-in-order"),
    (PLAN, "plan", "    low: 18 C\n", "", "missing-key"),
    (PLAN, "plan", '"18:00"', '"07:30"', "name-taken"),
    (PLAN, "plan", "    at:", "    hours: [1 h]\n    at:", "wrong-kind"),
    (PLAN, "plan", "sign-grade: 1", "sign-grade: 0", "out-of-range"),
    (PLAN, "plan", "check: warm-days", "check: warm", "no-such-name"),
]


@pytest.mark.parametrize(("text", "kind", "there", "put", "code"), OTHER)
def test_mistakes_in_the_other_files_are_told(
    tmp_path: Path, text: str, kind: str, there: str, put: str, code: str
) -> None:
    name = "plans/short.yaml" if kind == "plan" else f"{kind}.yaml"
    assert there in text
    path = write(tmp_path, name, text.replace(there, put, 1))
    problems = check([path])
    assert code in [p.code for p in problems], problems
    assert all(p.path == str(path) and p.line > 1 for p in problems if p.code == code)


def test_a_sign_has_no_grade_beyond_three(tmp_path: Path) -> None:
    shelf, _ = load_shelf([fill(tmp_path)])
    with pytest.raises(ValueError, match="not 4"):
        shelf.signs["rubbing"].most_urgent(4)
