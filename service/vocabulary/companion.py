"""Companions: answers to the rules of parts that need another part, one per rule id."""

from service.vocabulary.core import LABEL, Field, Kind

COMPANION = Kind("companion", "companion of another part", "records", (
    Field("fitted", "fitted or done", "yes_no", choosable=True, how="look for what the rule asks"),
), positions=LABEL, area=True)

KINDS = [COMPANION]
