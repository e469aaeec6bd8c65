"""What has happened on a path through the states of the platform, as it is reported."""

from pourcoach.domain.units import Grams
from pourcoach.estimation.filter.wobble_model import TICKS_PER_S
from pourcoach.estimation.platform.hypothesis import DRIPPED_G, MOVES, Hypothesis, Turn, TurnKind
from pourcoach.estimation.platform.jumps import BLOW_S, GUSH_GPS, LEAST_VESSEL_G

# Below this probability water certainly does not run.
RESTS_PROBABILITY = 0.1
# What has been set down has stopped swinging after this long.
SWINGS_TICKS = 800


def account(one: Hypothesis) -> list[Turn]:
    """The turns as they are reported: what swung as it was set down or taken away is one move,
    and at rest after it the water is what it was."""
    found: list[Turn] = []
    for turn in one.turns():
        if turn.kind in MOVES:
            turn = _one_move(found, turn)
        found.append(turn)
    rests = not one.off and one.state.pour_probability < RESTS_PROBABILITY
    return _at_rest(found, one.expected(one.state.ticks)[0]) if rests else found


def _one_move(found: list[Turn], turn: Turn) -> Turn:
    """What is set down or taken away swings: of several jumps the last is the move, and has all.
    Where water ran, and they come to no more than a gush, they were a blow that hid one."""
    places = [place for place, one in enumerate(found) if one.kind in MOVES]
    if not places or turn.ticks - found[places[-1]].ticks > SWINGS_TICKS:
        return turn
    first = found[places[-1]]
    del found[places[-1] :]
    if not found or found[-1].kind is not TurnKind.OFF:
        found.append(first._replace(kind=TurnKind.OFF))
    change_g = turn.change_g + first.change_g
    lasted_s = (turn.ticks - found[-1].ticks) / TICKS_PER_S
    if first.pouring and 0.0 < change_g < LEAST_VESSEL_G + GUSH_GPS * min(lasted_s, BLOW_S):
        return turn._replace(
            kind=TurnKind.WATER,
            shift_g=turn.shift_g + change_g,
            level_g=turn.level_g + change_g,
            change_g=change_g,
        )
    return turn._replace(change_g=change_g, pouring=first.pouring or turn.pouring)


def _at_rest(turns: list[Turn], level_g: Grams) -> list[Turn]:
    """The turns, once the weight has come to rest at this level: what was set down or taken away
    has moved no water, and what was poured stays poured though a brewer that was held may have lost
    drips beside the server."""
    place = len(turns) - 1
    while place >= 0 and turns[place].kind in (TurnKind.OFF, TurnKind.BACK):
        place -= 1
    held_g = turns[place].held_g if place >= 0 else None
    if held_g is None:
        return turns
    lost_g, back = held_g - level_g, turns[place].kind is TurnKind.RETURN
    if not (0.0 if back else -DRIPPED_G) < lost_g < DRIPPED_G:
        return turns
    raised = [
        turn._replace(shift_g=turn.shift_g + lost_g, level_g=turn.level_g + lost_g)
        for turn in turns[place:]
    ]
    move = raised[0]._replace(change_g=raised[0].change_g - lost_g)
    # What had not quite gone yet swung above the level; what was back had settled.
    raised[0] = move if back else move._replace(level_g=held_g)
    return [*turns[:place], *raised]
