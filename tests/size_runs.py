"""A run of invented sizes for the tests: one style over bodies graded by a plain rule. Lengths in
mm."""

from outseam.draft.body.estimate import Body
from outseam.draft.fabric import Fabric
from outseam.draft.sizes import Size, SizeRun, draft_sizes
from outseam.draft.spec.spec import Spec
from outseam.draft.style import Style


def graded_run(count: int, step_mm: float = 40.0, **style: object) -> SizeRun:
    """Return `count` sizes named 34, 36, ...: hip from 880 mm up by `step_mm`, the rest with it."""
    sizes = [
        Size(
            label=str(34 + 2 * i),
            body=Body(
                build="women",
                height=1640.0 + 6.0 * i,
                waist=640.0 + (step_mm + 2.0) * i,
                hip=880.0 + step_mm * i,
                inside_leg=760.0 + 2.0 * i,
            ),
        )
        for i in range(count)
    ]
    spec = Spec(
        title="Graded pants",
        body=sizes[0].body,
        fabric=Fabric(stretch_across=0.4),
        style=Style(**{"leg": "straight", **style}),
    )
    run = draft_sizes(spec, sizes)
    assert not run.skipped
    return run
