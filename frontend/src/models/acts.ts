/** For each act on the Now list: the one tap that says it was done. */
import type { Said } from '../store/tap';
import type { Key } from '../words/say';
import type { Group, Line } from './view';

export interface OneTap {
  word: Key;
  /** The word where there is room, and no heading says the act. */
  wide?: Key;
  verb: string;
  said: Said;
}

const BY_ACT: Record<string, (group: Group) => OneTap[]> = {
  press: pressed,
  open_time: pressed,
  total_assembly: pressed,
  clamps_off: clampsOff,
  clamps_off_stressed: clampsOff,
  end_coat: (group) =>
    group.state === 'paused'
      ? coat(group, 'tap.coat_resumed', 'coat_resumed')
      : coat(group, 'tap.coat_ended', 'coat_ended'),
  wipe_off: (group) => coat(group, 'tap.wiped', 'wiped'),
  rewipe: (group) => coat(group, 'tap.wiped', 'wiped'),
  rags: (group) => [
    ...coat(group, 'tap.flat_outside', 'rag_placed', { where: 'flat_outside' }),
    ...coat(group, 'tap.under_water', 'rag_placed', { where: 'under_water' }),
  ],
  remove_by: (group) => [{ word: 'tap.hold_off', verb: 'hold_off', said: { hold: group.id } }],
};

export function oneTaps(line: Line, group: Group | undefined): OneTap[] {
  return (group && BY_ACT[line.act]?.(group)) ?? [];
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
