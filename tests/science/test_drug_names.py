"""A drug's name that is another word for a protocol is found to be that protocol."""

from __future__ import annotations

import pytest

from intake.science.ceilings import CEILINGS
from intake.science.drug_names import plain_name, protocol_meant

KNOWN = [*CEILINGS, "clove-oil", "tricaine", "levamisole"]


@pytest.mark.parametrize(
    ("text", "protocol"),
    [
        ("formalin", "formalin"),
        ("Formalin ", "formalin"),
        ("37 % formaldehyde", "formalin"),
        ("Copper sulphate", "copper-sulfate"),
        ("chelated copper", "copper-chelated"),
        ("malachite green oxalate", "malachite-green"),
        ("sodium chloride", "salt"),
        ("KMnO4, potassium permanganate", "potassium-permanganate"),
        ("levamisole hydrochloride", "levamisole"),
        ("oxytetracycline", None),
        ("amoxicillin sodium salt", None),
        ("acriflavine hydrochloride", None),  # no protocol of that name is known here
    ],
)
def test_another_word_for_a_protocol(text: str, protocol: str | None) -> None:
    assert protocol_meant(text, KNOWN) == protocol


@pytest.mark.parametrize("protocol", CEILINGS)
def test_what_has_a_ceiling_is_found_by_its_own_words(protocol: str) -> None:
    assert protocol_meant(protocol, CEILINGS) == protocol
    spaced = protocol.replace("-", " ").upper()
    assert protocol_meant(spaced, CEILINGS) == protocol
    held = protocol_meant(f"{spaced} USP", CEILINGS)
    assert protocol == "salt" or held in CEILINGS


def test_a_name_as_files_are_called() -> None:
    assert plain_name("  Copper Sulfate (5 H2O)") == "copper-sulfate-5-h2o"
