"""How sharply the likelihood bends in the numbers that enter in a straight line: means and drivers.

Without bounds it is a parabola in them, whose curvature needs no differences: the weighted squares
of a linear mixed model (Laird and Ware, Biometrics 38, 1982, 963-974).

symbol  meaning                                                                shape
D_l     what a spot takes of them: rows (1, 0, 0) and (0, 1, z_l)               (2, 6)
M, W, C what a spot and a pavement weigh, and the pavement's posterior spread   see `likelihood`
B       sum of M_l D_l over the spots of a pavement                            (2, 6)

The curvature is the sum of D' M D over spots less that of B' C B over pavements.
"""

import numpy as np

from registry.decline.blocks import Block
from registry.decline.likelihood import Moments
from registry.decline.pair import Pair, Square, dot, sum_by
from registry.decline.parameters import DRIVER, NAMES, PLACE, Parameters
from registry.decline.records import DRIVERS, Floats, Ints

MEANS: Ints = np.array([PLACE["mu_a"], PLACE["mu_k"], *range(len(NAMES))[DRIVER]])
"""Where they stand in a vector, (6,)."""


def bend_in_means(block: Block, parameters: Parameters, moments: Moments) -> Floats:
    """Minus the second derivatives of the log likelihood, (6, 6), in the order of MEANS."""
    need, own, spread = moments.need, moments.own, moments.pavement_spread
    between = Square(*(np.asarray(value) for value in parameters.omega))
    bend = np.zeros((len(MEANS), len(MEANS)))
    bend[0, 0], bend[0, 1], bend[1, 1] = need.aa.sum(), need.ak.sum(), need.kk.sum()
    drivers = [np.ascontiguousarray(column) for column in block.driver.T]
    told = [_told(block, moments, driver) for driver in drivers]
    for place, one in enumerate(told):
        # (I - W Omega) B is what is left of B beside the means of all pavements.
        held = need.times(between.times(one))
        row = 2 + place
        bend[0, row], bend[1, row] = (one.a - held.a).sum(), (one.k - held.k).sum()
        passed = spread.times(one)
        here = own.kk * drivers[place]
        for other in range(place, len(DRIVERS)):
            taken = dot(passed.a, told[other].a) + dot(passed.k, told[other].k)
            bend[row, 2 + other] = dot(here, drivers[other]) - taken
    return np.triu(bend) + np.triu(bend, 1).T


def _told(block: Block, moments: Moments, driver: Floats) -> Pair:
    """The column of B of one driver, (S,); (P,) each."""
    own, owner, count = moments.own, moments.owner, block.pavements
    return Pair(sum_by(owner, own.ak * driver, count), sum_by(owner, own.kk * driver, count))
