"""Fasteners: the bolts of a joint (from the document's `fasteners` records) and the joint's geometry and duty.

Ranges are common practice; hard ranges are physical impossibility with a margin.
"""

from service.vocabulary.core import LABEL, Field, Kind

CLASSES = ("4.6", "4.8", "5.8", "8.8", "9.8", "10.9", "12.9", "2", "5", "8", "A2-70", "A2-80", "unmarked")
LUBRICANTS = ("dry", "zinc_plated_dry", "oiled", "thread_locker", "anti_seize", "molybdenum_paste", "wax")
TAPPED_MATERIALS = ("mild_steel", "medium_steel", "gray_cast_iron", "ductile_iron", "cast_aluminum", "aluminum_6061_t6", "aluminum_7075_t6")
INSERTS = ("none", "coil", "bushing")
DUTIES = ("brake", "steering", "suspension", "driveline", "wheel", "seat_belt", "seat", "engine", "body", "trim")

FASTENER = Kind("fastener", "fastener", "fasteners", (
    Field("thread", "thread", "text", choosable=True, how="thread gauge", notation="thread"),
    Field("class", "property class or grade", "choice", choosable=True, how="head marking", choices=CLASSES),
    Field("count", "count", "integer", "1..20", "1..500", True, "count"),
    Field("length", "length under the head", "length", "10..150 mm", "2..1000 mm", True, "caliper"),
    Field("lubricant", "thread condition", "choice", choosable=True, how="what was put on", choices=LUBRICANTS),
    Field("specified_torque", "specified torque", "torque", "5..300 N*m", "0.1..5000 N*m", True, "maker's figure or the shop's decision"),
    Field("applied_torque", "applied torque", "torque", "5..300 N*m", "0.1..5000 N*m", how="torque tool"),
    Field("extra_angle", "extra angle", "angle", "0..180 deg", "0..720 deg", True, "angle gauge"),
    Field("tool", "tool", "text", how="the torque tool used, as marked"),
    Field("by", "tightened by", "text", how="who tightened it"),
    Field("at", "tightened on", "text", how="date", notation="date"),
    Field("recheck_after", "recheck after", "text", choosable=True, how="a distance or a time, such as 500 mi or 30 day"),
    Field("rechecked_at", "rechecked on", "text", how="date", notation="date"),
), positions=LABEL, area=True)

JOINT = Kind("joint", "bolted joint", "fasteners", (
    Field("duty", "duty", "choice", how="what lets go if it fails", choices=DUTIES),
    Field("safety", "safety joint", "yes_no", how="decision; yes unless recorded for the first seven duties"),
    Field("nut_class", "nut class or grade", "choice", choosable=True, how="marking",
          choices=("5", "6", "8", "9", "10", "12", "2", "C", "none")),
    Field("tapped_material", "material of tapped part", "choice", how="know it, else leave empty", choices=TAPPED_MATERIALS),
    Field("insert", "thread insert", "choice", choosable=True, how="look into the hole: the end of a coil's last turn, or a bushing's rim",
          choices=INSERTS),
    Field("insert_thread", "outer thread of the insert", "text", choosable=True, notation="thread",
          how="its maker's sheet; a coil's follows from the bolt's thread"),
    Field("engagement", "length of full thread engaged", "length", "5..40 mm", "0..200 mm", True, "turns × pitch, or length − stack"),
    Field("hole_depth", "full-thread depth of a blind hole", "length", "8..60 mm", "0..500 mm", how="depth gauge"),
    Field("grip", "clamped stack", "length", "2..150 mm", "0..1000 mm", True, "caliper"),
    Field("washers", "washers together", "length", "0..8 mm", "0..50 mm", True, "caliper"),
    Field("nut_height", "nut height", "length", "4..20 mm", "0..100 mm", True, "caliper"),
), positions=LABEL, area=True)

KINDS = [FASTENER, JOINT]
