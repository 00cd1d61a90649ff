"""What the journal says, folded into facts that jobs can ask."""

from intake.flows.facts.state import Facts

__all__ = ["Facts"]
