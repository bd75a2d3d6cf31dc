"""The range of every argument of wood, coat and night, as the docstrings print it."""

import inspect
from dataclasses import fields, is_dataclass

import numpy as np

from cureclock.core import night
from cureclock.core.coat import air, area, coverage, film
from cureclock.core.wood import (
    air_drying,
    drying,
    entry,
    glue_water,
    heat,
    lag,
    meter,
    moisture,
    movement,
    slab,
)

AIR, DAMP, OLD = (-40, 50), (1, 100), (0, 36_525)
GRAVITY, WET = (0.1, 1.3), (0, 25)
RANGES = {
    air.saturation_pressure_pa: {"temp_c": (-100, 200)},
    air.dew_point_c: {"temp_c": AIR, "rh_pct": DAMP},
    air.dew_point_magnus_c: {"temp_c": AIR, "rh_pct": DAMP},
    air.vapour_density_g_m3: {"temp_c": AIR, "rh_pct": DAMP},
    air.drying_power: {"temp_c": AIR, "rh_pct": DAMP, "label_temp_c": (0, 50),
                       "label_rh_pct": (1, 95)},
    air.night_rh_pct: {"temp_c": AIR, "rh_pct": DAMP, "night_temp_c": AIR},
    area.box_area_m2: {"length_m": (0, 20), "width_m": (0, 20), "thickness_m": (0, 20)},
    area.ring_area_m2: {"outer_m": (0, 20)},
    area.swept_area_m2: {"outline_m": (0, 1e6), "balance_radius_m": (0, 10)},
    coverage.litres: {"area_m2": (0, 1000), "coats": (0, 50), "coverage_m2_l": (0.1, 1000),
                      "pieces": (0, 100_000), "loss_fraction": (0, 2)},
    film.volume_solids_pct: {"volume_pct": (1, 100)},
    film.volume_of_weight_solids_pct: {"weight_solids_pct": (1, 100), "coating_kg_l": (0.7, 2.5),
                                       "liquid_kg_l": (0.6, 1.6)},
    film.spreading_rate_m2_l: {"dry_film_um": (1, 5000), "volume_pct": (1, 100)},
    film.practical_rate_m2_l: {"rate_m2_l": (0.1, 1000), "loss_fraction": (0, 0.9)},
    film.wet_film_um: {"dry_film_um": (1, 5000), "volume_pct": (1, 100),
                       "thinner_fraction": (0, 2)},
    film.dry_film_um: {"wet_film": (1, 5000), "volume_pct": (1, 100), "thinner_fraction": (0, 2)},
    film.wet_film_of_rate_um: {"rate_m2_l": (0.1, 1000)},
    night.shed_temp_c: {"start_c": AIR, "outside_c": AIR, "elapsed_h": (0, 240),
                        "half_gap_h": (0.25, 72)},
    night.hours_until_c: {"start_c": AIR, "outside_c": AIR, "wanted_c": AIR,
                          "half_gap_h": (0.25, 72)},
    entry.humidity_pct: {"rh_pct": DAMP},
    entry.shop_temp_c: {"temp_c": AIR},
    moisture.emc_pct: {"temp_c": AIR, "rh_pct": DAMP},
    moisture.rh_for_emc_pct: {"temp_c": AIR},
    meter.meter_corrected_pct: {"reading_pct": (6, 30), "wood_temp_c": (-20, 50),
                                "calibrated_c": (15, 30), "species_points": (-5, 5)},
    movement.movement_linear_mm: {"width_mm": (0, 20_000), "mc_from_pct": (6, 14),
                                  "mc_to_pct": (6, 14)},
    movement.movement_total_mm: {"width_mm": (0, 20_000), "shrinkage_pct": (0.5, 20),
                                 "mc_from_pct": (0, 30), "mc_to_pct": (0, 30)},
    movement.movement: {"width_mm": (0, 20_000), "mc_from_pct": (0, 30), "mc_to_pct": (0, 30),
                        "coefficient": None, "shrinkage_pct": (0.5, 20)},
    movement.fit_gap_mm: {"opening_mm": (0, 20_000), "part_mm": (0, 20_000),
                          "opening_change_mm": (-2000, 2000), "part_change_mm": (-2000, 2000)},
    movement.flush_step_mm: {"width_mm": (0, 20_000), "mc_a_pct": None, "mc_b_pct": None,
                             "home_pct": (6, 14), "coefficient_a": None, "coefficient_b": None},
    glue_water.glue_water_points: {"spread_g_m2": (10, 1000), "water_fraction": (0, 0.95),
                                   "thickness_m": (0.0002, 1), "density_kg_m3": (80, 1400),
                                   "lines": (1, 200), "mc_pct": (0, 60)},
    glue_water.moisture_diffusion_m2_s: {"temp_c": (-40, 95)},
    glue_water.evening_out: {"temp_c": (-40, 70), "depth_m": (0.001, 0.1)},
    drying.moisture_after_pct: {"days": OLD, "start_pct": (0, 250), "emc_pct": (0, 30),
                                "kappa_per_day": (0.0001, 2)},
    air_drying.kappa_moved: {"temp_from_c": AIR, "temp_to_c": AIR},
    heat.density_kg_m3: {"gravity": GRAVITY, "mc_pct": WET},
    heat.gravity_of_density: {"density": (130, 1300), "mc_pct": WET},
    heat.conductivity_w_mk: {"gravity": GRAVITY, "mc_pct": WET},
    heat.heat_capacity_j_kgk: {"temp_c": (-40, 95), "mc_pct": WET},
    heat.diffusivity_m2_s: {"gravity": GRAVITY, "mc_pct": WET, "temp_c": (-40, 95)},
    slab.biot_number: {"surface_w_m2k": (1, 200), "half_thickness_m": (0.0001, 1),
                       "conductivity_w_mk": (0.02, 1)},
    slab.slab_roots: {"biot": (0.0001, 10_000)},
    slab.slab_left: {"biot": (0.0001, 10_000), "fourier": (0, 1e6), "depth": None},
    slab.slab_left_one_term: {"biot": (0.0001, 10_000), "fourier": (0.2, 1e6), "depth": None},
    lag.pencil_lag_h: {"thickness_m": (0.0005, 0.4)},
    lag.lag_bin: {"time_constant_h": (0, 1000)},
}  # fmt: skip

# Arguments whose range depends on another, or is not printed as "a to b": drawn from here.
ALSO = {
    "inner_m": (0, 20), "weight_solids_pct": (1, 100), "wanted_pct": (1, 30),
    "coefficient": (0, 0.008), "mc_a_pct": (6, 14), "mc_b_pct": (6, 14),
    "coefficient_a": (0, 0.008), "coefficient_b": (0, 0.008), "kappa_per_day": (1e-5, 10),
    "depth": (0, 1), "roots": (1e-6, 1000),
}  # fmt: skip


def span_of(function, name):
    return RANGES[function].get(name) or ALSO[name]


def drawn_of(function):
    return [*RANGES[function], *(n for n in inspect.signature(function).parameters
            if n in ALSO and n not in RANGES[function])]  # fmt: skip


def assert_finite(answer: object) -> None:
    if is_dataclass(answer):
        for field in fields(answer):
            assert_finite(getattr(answer, field.name))
        return
    array = np.asarray(answer)
    assert array.dtype.kind in "fiubU", array.dtype
    if array.dtype.kind == "f":
        assert np.isfinite(array).all(), answer
