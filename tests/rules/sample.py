"""A treatment that has every block, for tests to break one line of."""

from __future__ import annotations

from pathlib import Path

from intake.rules.one_file import Parsed, parse_bytes
from intake.rules.protocol_file import FileBytes
from intake.science.treatment import Treatment

TREATMENT = """\
id: sample
title: Sample
version: 1.2
status: label
counts: treatment
basis: product-mass
strengths:
  - form: dry
    strength: 100 % w/w
    state: powder
    counts-as: 1
    usual: yes
    source: the label
    mark: published
from-label: no
after-change: replace
residue-end: high
margin: wide
cautions:
  - The product label and your vet come first.
handling:
  - form: dry
    signal: none
    statements: []
    wear: [gloves]
    storage: dry
    source: the label
    mark: published
half-life:
  at-least: 6 h
  at-most: 2 d
  source: a paper
  mark: published
solubility:
  value: 0.1 g/L
  source: a paper
  mark: published
biofilter: none
light: none
oxygen: none
wash-out: change water
neutraliser: none
legal: ask
courses:
  - name: long-bath
    route: prolonged
    target:
      unit: g/L
      low:
        value: 1 g/L
        source: a paper
        mark: published
      usual:
        value: 2000 mg/L
        source: a paper
        mark: common practice
      high:
        value: 3 g/L
        source: a paper
        mark: from memory
    hard-limits:
      - value: 5 g/L
        source: a paper
        mark: published
      - value: 4 g/L
        above: 21 C
        source: a paper
        mark: published
    soft-limits:
      - value: 2.5 g/L
        code: over-usual
        source: a paper
        mark: published
    conditions:
      - reading: oxygen
        at-least: 5 mg/L
        evidence: measured
        no-older-than: 12 h
        text: raise the oxygen
        source: a paper
        mark: published
    duration:
      at-least: 30 min
      at-most: 2 h
      source: a paper
      mark: published
    repeat:
      every: 7 d
      times: 2
      source: a paper
      mark: published
    interval:
      not-before: 3 d
      usual-every: 7 d
      source: a paper
      mark: published
    steps:
      raises:
        - target: 1 g/L
          after: 0 h
        - target: 3 g/L
          after: 12 h
      source: a paper
      mark: published
    stages:
      allowed: [adult]
      source: a paper
      mark: published
    before: [air on]
    during: []
    after: []
    stop-signs: [it rolls]
"""


def place_of(text: str, marker: str) -> tuple[int, int]:
    """Line and column at which `marker` stands for the first time, counted from 1."""
    offset = text.index(marker)
    line = text.count("\n", 0, offset) + 1
    return line, offset - (text.rfind("\n", 0, offset) + 1) + 1


def parsed(text: str, kind: str = "treatment", stem: str = "sample") -> Parsed:
    """The text, read as a file of this kind and name."""
    return parse_bytes(FileBytes(f"{stem}.yaml", text.encode("utf-8"), "0" * 64), kind, stem)


def treatment(text: str) -> Treatment:
    """The treatment a text without problems says."""
    found = parsed(text)
    assert found.problems == ()
    assert isinstance(found.content, Treatment)
    return found.content


def codes(text: str, kind: str = "treatment", stem: str = "sample") -> list[tuple[int, int, str]]:
    """Line, column and code of every problem of a text."""
    return [(p.line, p.column, p.code) for p in parsed(text, kind, stem).problems]


def write(folder: Path, name: str, text: str) -> Path:
    """Write a protocol into a folder that need not exist yet."""
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path
