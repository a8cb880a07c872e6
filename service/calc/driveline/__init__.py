"""Driveline formulas, one noun per module: converter, capacity, gearing, joints, placement, shaft."""

from service.calc.driveline.capacity import (
    CLUTCH_RESERVE,
    FRICTION_COEFFICIENT,
    SERVICE_FACTOR,
    SHAFT_SHARE,
    SHOCK_FACTOR,
    clutch_torque_new,
    clutch_torque_worn,
)
from service.calc.driveline.converter import (
    GAP_WANTED,
    BoltLengths,
    PilotFit,
    bolt_lengths,
    flexplate_face,
    pad_position,
    pilot_fit,
    spacer_for_gap,
    thread_engaged,
    tip_clearance,
)
from service.calc.driveline.gearing import (
    CRUISE_SPEED,
    driven_teeth_needed,
    drops,
    engine_speed,
    in_order,
    reading_error,
    revs_per_mile,
    road_speed,
    rolling_radius,
    shaft_speed,
    start_grade,
    tractive_force,
)
from service.calc.driveline.joints import (
    LARGEST_ANGLE,
    angle_limit,
    angular_acceleration,
    residual_angle,
    working_angle,
    working_angles,
)
from service.calc.driveline.placement import bearing_travel, bore_offset, forward_limit, pedal_force, rearward_limit
from service.calc.driveline.shaft import (
    HEIGHT_OVER_WHEELBASE,
    SLENDER,
    STUBBY,
    TIRE_FRICTION,
    TUBE_MATERIALS,
    TubeMaterial,
    critical_speed,
    driven_axle_load,
    ideal_shaft,
    input_torque,
    longest_length,
    longest_shaft,
    lowest_gear_torque,
    shear_stress,
    shorter_than,
    shortest_shaft,
    slip_torque,
    usable_critical_speed,
)

__all__ = [
    "CLUTCH_RESERVE", "CRUISE_SPEED", "FRICTION_COEFFICIENT", "GAP_WANTED", "HEIGHT_OVER_WHEELBASE", "LARGEST_ANGLE", "SERVICE_FACTOR",
    "SHAFT_SHARE", "SHOCK_FACTOR", "SLENDER", "STUBBY", "TIRE_FRICTION", "TUBE_MATERIALS", "BoltLengths", "PilotFit", "TubeMaterial",
    "angle_limit", "angular_acceleration", "bearing_travel", "bolt_lengths", "bore_offset", "clutch_torque_new", "clutch_torque_worn",
    "critical_speed", "driven_axle_load", "driven_teeth_needed", "drops", "engine_speed", "flexplate_face", "forward_limit", "ideal_shaft",
    "in_order", "input_torque", "longest_length", "longest_shaft", "lowest_gear_torque", "pad_position", "pedal_force", "pilot_fit",
    "reading_error", "rearward_limit", "residual_angle", "revs_per_mile", "road_speed", "rolling_radius", "shaft_speed", "shear_stress",
    "shorter_than", "shortest_shaft", "slip_torque", "spacer_for_gap", "start_grade", "thread_engaged", "tip_clearance", "tractive_force",
    "usable_critical_speed", "working_angle", "working_angles",
]
