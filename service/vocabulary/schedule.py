"""Schedule: how much time the shop has for this car."""

from service.vocabulary.core import Field, Kind

SCHEDULE = Kind("schedule", "schedule", "schedule", (
    Field("as_of", "counted from", "text", choosable=True, how="a date; the newest date in the record unless given", notation="date"),
    Field("hours_per_day", "hours per working day", "time", "6..10 h", "0.5..24 h", True, "shop's hours; 8 h unless recorded"),
    Field("crew", "people on this car", "integer", "1..3", "1..20", True, "count; 1 unless recorded"),
    Field("days_per_week", "working days per week", "integer", "5..6", "1..7", True, "Monday first; 5 unless recorded"),
    Field("productive_fraction", "hours on this car over hours present", "dimensionless", "0.5..0.9", "0.05..1", True,
          "time sheets; 0.7 unless recorded"),
), area=True)

KINDS = [SCHEDULE]
