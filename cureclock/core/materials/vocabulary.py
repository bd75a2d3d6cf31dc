"""The fixed words of the library: gates, responses, cautions, tests and notes."""

JOINT_GATES = (
    "pot_life",
    "open_time",
    "total_assembly",
    "keep_warm",
    "scrape_opens",
    "scrape_closes",
    "clamps_off",
    "clamps_off_stressed",
    "light",
    "heavy",
    "spin",
    "service",
    "sand_glue_line",
    "final_surfacing",
    "wet_use",
)
COAT_GATES = (
    "pot_life",
    "wipe_off",
    "rewipe",
    "drip_check",
    "keep_warm",
    "dust_free",
    "touch",
    "handle",
    "recoat_opens",
    "recoat_closes",
    "sand",
    "tape_off",
    "wrap",
    "rub_out",
    "full_cure",
)
HOLD_GATES = ("holds", "remove_by")
GATES_OF_ROLE = {
    "adhesive": JOINT_GATES,
    "finish": COAT_GATES,
    "stain": COAT_GATES,
    "filler": COAT_GATES,
    "hold": HOLD_GATES,
}
CLOSING = frozenset(
    {
        "pot_life",
        "open_time",
        "total_assembly",
        "scrape_closes",
        "wipe_off",
        "recoat_closes",
        "tape_off",
        "remove_by",
    }
)
# Along each ladder no rung comes before an earlier one.
LADDERS = (
    ("open_time", "total_assembly"),
    ("clamps_off", "clamps_off_stressed"),
    ("clamps_off", "light", "heavy", "spin", "service"),
    ("dust_free", "touch", "handle", "wrap", "full_cure"),
)
# Of each pair the first opens a window that the second shuts.
WINDOWS = (("scrape_opens", "scrape_closes"), ("recoat_opens", "recoat_closes"))

RESPONSES = (
    "doubling",
    "chemical",
    "table",
    "water_loss",
    "moisture_cure",
    "solvent_loss",
    "oxidation",
    "cooling",
    "wall",
)
BELOW_MIN = ("", "spoils", "sleeps")
PRESSING = ("", "clamps", "contact", "light", "touch", "roller", "press")
BONDS = ("", "easily", "well", "satisfactorily", "with_difficulty")
STRENGTH_CLASSES = ("D1", "D2", "D3", "D4")  # EN 204:2016, names only
REMOVE_BEFORE = ("cnc", "lathe", "finish", "finish_of_that_end", "end_of_day")
FIT_FOR = ("saw", "rout", "light")
CAUTIONS = (
    "rags",
    "solvents",
    "isocyanate",
    "epoxy",
    "formaldehyde",
    "cyanoacrylate",
    "dust",
    "lathe",
    "hold_turning",
    "food",
    "heaters",
    "hot_pot",
    "tired",
    "limits",
)
TESTS = {
    "bead": "A fingernail does not dent the squeezed-out bead.",
    "witness": "A scrap of the same pour, pressed beside it, breaks in the wood.",
    "tap_twist": "It rings when tapped and does not give when twisted by hand.",
    "string": "Pressed and drawn between two fingers it pulls strings.",
    "powder": "Fine paper makes powder and does not clog.",
    "thumbnail": "A thumbnail leaves no mark where it will not be seen.",
    "nose": "No smell close up.",
    "cold_cheek": "It does not feel cold on the cheek.",
    "white_rag": "A white rag takes no colour.",
    "fresh_jar": "It still flows and has no lumps, skin or sour smell.",
}
# Reasons why a gate is not offered which a label cannot change.
NEVER = frozenset({"never", "never_alone", "small_repairs_only"})
NOTES = {
    "as_glue": "As the glue it is made with.",
    "as_glue_tailstock_up": "As the glue it is made with, and only with the tailstock up.",
    "at_once": "Grips at once; no clamps are tied up.",
    "below_minimum_not_relied_on": "Below its minimum full strength is not to be relied on.",
    "buff_not_wipe": "Buff it, do not wipe it off.",
    "closed_time_shares_open_time": "Open time used shortens closed time in the same proportion.",
    "gels_rewarm": "Gels on cold wood; warm the wood and the glue again.",
    "green_trim": "Trim squeeze-out while it is green.",
    "hardened_mix_keeps_days": "Once hardener is mixed in it keeps for days only.",
    "keep_dry": "Keep the powder dry.",
    "keeps_dry_for_years": "Dry it keeps for years.",
    "knife_the_foam": "Cut the foam with a knife.",
    "melts_in": "Each coat melts into the one below: no upper limit.",
    "min_is_wood_temperature": "The minimum is that of the wood.",
    "minutes": "A matter of minutes: follow the label.",
    "mist_if_drier": "Mist drier wood with water.",
    "needs_damp_air": "Needs damp air to set.",
    "never": "Not for this.",
    "never_alone": "A hold, not a joint: never the only grip.",
    "never_cures": "Never cures.",
    "never_dries": "Never dries.",
    "on_tack": "While the last coat still has tack.",
    "one_coat": "Usually one coat.",
    "only_if_label_says": "Only if the label says so.",
    "overspray_heap_burns": "A heap of overspray can burn.",
    "rags_if_drying_oil": "Rags heat up if the wax holds a drying oil or solvent.",
    "scrape_not_wipe": "Scrape it off across the grain.",
    "seconds_to_3_min": "From seconds to 3 minutes by grade: follow the label.",
    "slow_in_dry_air": "Slow in dry air.",
    "small_repairs_only": "Small repairs only, nothing that turns.",
    "soak_then_wipe": "Let it soak in, then wipe.",
    "spot_only": "By the spot, not by the area.",
    "stays_soft": "Stays soft always.",
    "test_before_use": "Test a drop before use.",
    "thick_and_thin_grades": "Thin, thick and gel grades differ.",
    "total_film_cap": "The label caps the total film; more will craze.",
    "warm_wood_doubles_open_time": "Warm wood about doubles the open time.",
    "wash_and_sand_after": "After the window: wash with water, then sand.",
}
