"""Mixing ratios against printed recipes."""

import numpy as np

from cureclock.core.joint.mix import shares_g, shares_ml, weight_parts

RECIPE = "hand-rub recipe of the World Health Organization, by volume; grams at 20 C worked at gist b7736029d6a39a4f05bf68373853c9cc"
SHEET = "phenol-resorcinol sheet, 5:1 by weight, homebuilt-aircraft manual page D-6"


def test_a_printed_recipe_by_volume_weighs_what_was_worked_out(checked):
    """Four liquids, mL for 10 L and their densities; grams for a fortieth of it."""
    volumes, densities = [7515, 417, 145, 1923], [0.785, 1.007, 1.261, 0.9982]
    printed = np.array([147.481, 10.498, 4.572, 47.988])
    ours = shares_g(210.539, weight_parts(volumes, densities))
    checked("grams of four liquids mixed by volume", RECIPE, ours, printed)
    assert np.abs(ours - printed).max() <= 0.002
    measured = shares_ml(210.539, volumes, densities)
    checked("millilitres of the same", RECIPE, measured, [187.875, 10.425, 3.626, 48.075])
    assert np.abs(measured - [187.875, 10.425, 3.626, 48.075]).max() <= 0.002


def test_five_to_one_by_weight(checked):
    ours = shares_g(600, [5, 1])
    checked("resin and hardener for 600 g at 5:1 [g]", SHEET, ours, [500, 100])
    assert ours.tolist() == [500, 100]
