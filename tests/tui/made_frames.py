"""Frames for the screens: one of any kind, and those of a whole brew."""

from pourcoach.domain.advice import Risk, RiskLevel, Word, usual_cue
from pourcoach.domain.estimate import Estimate, ScaleTraits
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import NextStep, Phase, PourState
from tests.three_pours import PLAN, START_S


def make_frame(
    t_s: float = 2.0,
    word: Word = Word.READY,
    mass_g: float = 0.0,
    *,
    phase: Phase = Phase.READY,
    flow_gps: float = 0.0,
    plan: Plan | None = PLAN,
    stop_due_s: float | None = None,
    countdown_s: float | None = None,
    off_g: float | None = None,
    next_step: NextStep | None = None,
) -> Frame:
    """One frame, the first water having come at START_S."""
    brewing = phase is not Phase.READY
    brew_s = t_s - START_S if brewing else None
    target_g = plan.target_g(brew_s) if plan is not None and brew_s is not None else None
    if off_g is None and target_g is not None:
        off_g = mass_g - target_g
    stage = None
    if plan is not None:
        stage = next((s for s in plan.stages if mass_g < s.to_g), plan.stages[-1])
    return Frame(
        t_s=t_s,
        estimate=Estimate(
            t_s=t_s,
            mass_g=mass_g,
            mass_error_g=0.05,
            flow_gps=flow_gps,
            flow_error_gps=0.3,
            pouring=phase is Phase.POURING,
            pour_probability=float(phase is Phase.POURING),
            settled=None,
            disturbance=None,
            pours=(),
            traits=ScaleTraits(),
        ),
        pour=PourState(
            phase=phase,
            armed=True,
            brew_start_s=START_S if brewing else None,
            brew_s=brew_s,
            end_s=t_s if phase is Phase.DONE else None,
            ending=None,
            water_g=mass_g,
            plan=plan,
            stage=stage,
            target_g=target_g,
            band_g=None if plan is None else 5.0,
            off_g=off_g,
            off_s=None,
            countdown_s=countdown_s,
            next=next_step,
            stages=(),
        ),
        cue=usual_cue(word, t_s)._replace(stop_due_s=stop_due_s),
        flags=(),
        risk=Risk(RiskLevel.LOW, ()),
    )


def make_brew(until_s: float) -> list[Frame]:
    """A steady hand following PLAN, ten frames a second, a little behind and a little wavy."""
    frames = [make_frame(t / 10) for t in range(int(START_S * 10))]
    for tick in range(int(until_s * 10) + 1):
        brew_s = tick / 10
        mass_g = PLAN.target_g(max(0.0, brew_s - 0.6)) * (1.0 + 0.006 * ((tick // 17) % 5 - 2))
        stage = next((s for s in PLAN.stages if mass_g < s.to_g * 0.985), None)
        pouring = PLAN.target_g(brew_s) - PLAN.target_g(brew_s - 0.5) > 0.1
        index = -1 if stage is None else PLAN.stages.index(stage)
        if pouring:
            phase, word = Phase.POURING, Word.POUR if brew_s > 30 else Word.BLOOM
        elif stage is None:
            phase, word = Phase.DRAINING, Word.DRAIN
        else:
            phase, word = Phase.WAITING, Word.WAIT
        waiting = phase is Phase.WAITING and stage is not None
        if pouring and stage is not None:
            step = NextStep(Phase.WAITING, PLAN.stage_end_s(index))
        elif waiting and stage is not None:
            step = NextStep(Phase.POURING, stage.start_s, stage.name, stage.to_g)
        else:
            step = NextStep(Phase.DONE, PLAN.finish_s)
        frames.append(
            make_frame(
                START_S + brew_s,
                word,
                mass_g,
                phase=phase,
                flow_gps=5.0 if pouring else 0.0,
                countdown_s=stage.start_s - brew_s if waiting and stage is not None else None,
                next_step=step,
            )
        )
    return frames
