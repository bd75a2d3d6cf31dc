"""May it spin, may it be loaded? What can hurt is answered by all its rules, for each piece anew."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from uuid import UUID

from cureclock.core.clock import NEVER
from cureclock.core.holding import LATHE, blocks
from cureclock.core.lathe import Answer, JointState, PieceState, Reason, may_spin
from cureclock.core.units import instant_us
from cureclock.shop.holds import PieceWords, off_before, said_of
from cureclock.shop.models import Conflict, Phone, Piece, Workshop
from cureclock.waits.may.carried import Carried, Footing, JointGate, carried
from cureclock.waits.may.surely import Sureties, flagged, surely

SPIN, SERVICE, WET = "spin", "service", "wet_use"
IN_DOUBT = ("made_of_itself", "made_from_lost")  # conflicts about what a piece is made of

State = tuple[int, bool, bool, str, bool, bool, int | None, int]


def spin_answer(piece: Piece, at: datetime) -> Answer:
    """May this piece spin, asked at an instant?"""
    return spin_answers(piece.workshop, [piece], at)[piece.id]


def spin_answers(workshop: Workshop, pieces: Sequence[Piece], at: datetime) -> dict[UUID, Answer]:
    """May each of these pieces spin? The number of queries does not grow with the pieces."""
    return sure_answers(workshop, [piece.id for piece in pieces], SPIN, at)


def sure_answers(
    workshop: Workshop, pieces: Collection[UUID], kind: str, at: datetime
) -> dict[UUID, Answer]:
    """May each of these pieces be spun, loaded or wetted, by the rules of what can hurt?

    Args:
        workshop: whose they are.
        pieces: those asked about.
        kind: the gate that has to be past sure.
        at: the instant of the question.
    """
    if not pieces:
        return {}
    found = carried(workshop, pieces, [kind])
    bench = _Bench(found, kind, surely(found, kind, at))
    words = said_of(found.every)
    low = flagged({gate.on.place for own in found.gates.values() for gate in own})
    unsent = Phone.objects.filter(workshop=workshop, unpaired_at=None, unsent__gt=0)
    phones = tuple(unsent.values_list("name", flat=True))
    doubted = _doubted(workshop)
    known: dict[tuple[object, ...], Answer] = {}
    answers = {}
    for piece in pieces:
        states = bench.states(piece)
        doubt = sorted({doubted[part] for part in found.parts[piece] if part in doubted})
        asked = (
            tuple(states),
            piece in words.declared and not doubt,
            _holds(found, words, piece),
            bool(low) and any(gate.on.place in low for gate in found.of(piece)),
        )
        if asked not in known:
            joints, declared, holds, is_low = asked
            state = PieceState(joints, declared, holds, is_low, phones)
            known[asked] = may_spin(state, instant_us(at))
        named = _named(known[asked], bench.names)
        answers[piece] = replace(
            named, reasons=(*named.reasons, *(Reason(kind_) for kind_ in doubt))
        )
    return answers


@dataclass
class _Bench:
    """States of joints, each made once: alike ones of different pieces share one.

    A shared state is named by its number; `names` has what the joints of the piece last asked
    about are called.
    """

    found: Carried
    kind: str
    sure: Sureties

    def __post_init__(self) -> None:
        self.names: dict[str, str] = {}
        self._made: dict[tuple[State, int], JointState] = {}
        self._shared: dict[Footing, State] = {}

    def states(self, piece: UUID) -> list[JointState]:
        """The states of the joints of one piece, by the names of the joints."""
        rows = [*self._clocked(piece), *self._silent(piece)]
        rows.sort(key=lambda row: row[0])
        self.names = {}
        counts: dict[State, int] = {}
        states = []
        for name, state in rows:
            number = counts[state] = counts.get(state, 0) + 1
            one = self._made.get((state, number))
            if one is None:
                one = self._made[state, number] = _joint_state(f"#{len(self._made)}", state)
            self.names[one.name] = name
            states.append(one)
        return states

    def _clocked(self, piece: UUID) -> Iterable[tuple[str, State]]:
        suspect = self.found.suspect
        for gate in self.found.of(piece):
            if gate.on.kind == self.kind:
                state = self._alike(gate) if gate.wait not in suspect else None
                yield gate.name, state or self._state(gate, suspect[gate.wait])

    def _alike(self, gate: JointGate) -> State:
        """The state of a gate beyond doubt; those on one footing that were not moved share it."""
        moved = gate.wait in self.sure.moved
        if moved or gate.on not in self._shared:
            state = self._state(gate, "")
            if moved:
                return state
            self._shared[gate.on] = state
        return self._shared[gate.on]

    def _state(self, gate: JointGate, suspect: str) -> State:
        sure = self.sure.of(gate)
        told = self.found.labels[gate.on.label].gate(self.kind)
        unread = told is not None and not told.read
        known = (sure.assumed, sure.reading_us, sure.nights)
        return (sure.sure_us, told is not None, True, suspect, unread, *known)

    def _silent(self, piece: UUID) -> Iterable[tuple[str, State]]:
        for one in self.found.silent(piece):
            told = self.found.labels[one.label].gate(self.kind)
            offered, unread = told is not None, told is not None and not told.read
            yield one.name, (NEVER, offered, False, "", unread, False, None, 0)


def _joint_state(name: str, state: State) -> JointState:
    sure_us, offered, pressed, suspect, unread, assumed, reading_us, nights = state
    return JointState(
        name=name,
        sure_us=sure_us,
        offered=offered,
        pressed=pressed,
        suspect=suspect,
        unread_label=unread,
        assumed=assumed,
        reading_us=reading_us,
        nights_known=nights,
    )


def _holds(found: Carried, words: PieceWords, piece: UUID) -> tuple[str, ...]:
    """What is on the piece or a part of it and must be off before it turns."""
    holds = [hold for part in found.parts[piece] for hold in words.holds.get(part, ())]
    return tuple(sorted(hold.what for hold in holds if blocks(off_before(hold), LATHE)))


def _doubted(workshop: Workshop) -> dict[UUID, str]:
    """Pieces of which it is not settled what they are made of."""
    open_ = Conflict.objects.filter(workshop=workshop, settled_by=None, kind__in=IN_DOUBT)
    return dict(open_.values_list("about", "kind"))


def _named(answer: Answer, names: Mapping[str, str]) -> Answer:
    """The answer with the joints' own names in the place of their numbers."""
    reasons = tuple(
        Reason(one.key, names.get(one.name, one.name), one.at_us) for one in answer.reasons
    )
    return replace(answer, blame=names.get(answer.blame, answer.blame), reasons=reasons)
