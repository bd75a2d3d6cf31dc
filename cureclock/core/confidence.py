"""How far a figure is trusted: the margins that are always shown apart from the bare figure."""

WARMTH_FLOOR = 0.75  # warmth shortens an ordinary wait to this part of the label; common practice
CHECK_FROM = 0.85  # a test on a witness makes sense from this part of the need; common practice
ASSUMED_LEG = 1.15  # +-2 degC on assumed air is 2 ** 0.2; arithmetic on the doubling rule
UNTRIED_MARGIN = 0.20  # a material never checked in this shop; our choice
LEAST_MARGIN = 0.08  # however often it was checked; our choice
UNREAD_LABEL = 1.5  # a figure nobody read and that has no range counts so much longer; our choice
