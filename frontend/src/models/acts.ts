/** For each act on the Now list: the one tap that says it was done. */
import type { Said } from '../store/tap';
import type { Key } from '../words/say';
import { newId } from '../sync/outbox';
import { sameZones } from './coats';
import { gateOf } from './own-lines';
import type { Group, Line, Piece } from './view';

export interface OneTap {
  word: Key;
  /** The word where there is room, and no heading says the act. */
  wide?: Key;
  verb: string;
  said: Said;
}

const BY_ACT: Record<string, (group: Group, pieces: readonly Piece[]) => OneTap[]> = {
  press: pressed,
  open_time: (group) =>
    gateOf(group, 'total_assembly') ? glueUp(group, 'tap.closed', 'closed') : pressed(group),
  total_assembly: pressed,
  clamps_off: clampsOff,
  clamps_off_stressed: clampsOff,
  end_coat: (group) =>
    group.state === 'paused'
      ? coat(group, 'tap.coat_resumed', 'coat_resumed')
      : coat(group, 'tap.coat_ended', 'coat_ended'),
  wipe_off: (group) => coat(group, 'tap.wiped', 'wiped'),
  recoat_opens: recoat,
  recoat_closes: recoat,
  rewipe: (group) => coat(group, 'tap.wiped', 'wiped'),
  rags: (group) => [
    ...coat(group, 'tap.flat_outside', 'rag_placed', { where: 'flat_outside' }),
    ...coat(group, 'tap.under_water', 'rag_placed', { where: 'under_water' }),
  ],
  remove_by: (group) => [{ word: 'tap.hold_off', verb: 'hold_off', said: { hold: group.id } }],
};

/** The taps of a line; a shut window offers none but those that say what was done all the same. */
export function oneTaps(line: Line, group: Group | undefined, pieces: readonly Piece[]): OneTap[] {
  if (!group || (line.act === 'recoat_closes' && line.reason !== 'shut')) return [];
  return BY_ACT[line.act]?.(group, pieces) ?? [];
}

/** The next coat, on the same zones; only where it is plain which zones those are. */
function recoat(group: Group, pieces: readonly Piece[]): OneTap[] {
  const zones = sameZones(
    pieces.filter((piece) => group.pieces.some((one) => one.id === piece.id)),
  );
  if (!zones.length) return [];
  const { name, material, place } = group;
  const said = { coat: newId(), name, label: material.label, place: place.id, zones };
  return [{ word: 'tap.coat_began', verb: 'coat_began', said }];
}

function pressed(group: Group): OneTap[] {
  return glueUp(group, 'tap.pressure_on', 'pressure_on');
}

export function clampsOff(group: Group): OneTap[] {
  const [tap] = glueUp(group, 'tap.clamps_off', 'clamps_off');
  return [{ ...tap!, wide: 'verb.clamps_off' }];
}

function glueUp(group: Group, word: Key, verb: string): OneTap[] {
  return [{ word, verb, said: { glue_up: group.id } }];
}

function coat(group: Group, word: Key, verb: string, more: Said = {}): OneTap[] {
  return [{ word, verb, said: { coat: group.id, ...more } }];
}
