/** A small shed as the server would tell of it. */
import type { Said, Tap } from '../src/store/tap';
import type { Gate, Group, LabelGate, Line, Material, View } from '../src/models/view';

export const NOW = '2026-02-05T10:00:00.000Z';

export function at(clock: string, day = '05'): string {
  return `2026-02-${day}T${clock}:00.000Z`;
}

export function labelGate(kind: string, hours: number, more: Partial<LabelGate> = {}): LabelGate {
  return { kind, hours, by_wall: false, upper_hours: hours, read: true, ...more };
}

export const GLUE: Material = {
  id: 'glue',
  name: 'PVA-G',
  family: 'pva_interior',
  role: 'adhesive',
  label: {
    id: 'glue-label',
    read: true,
    container: '',
    read_by: 'Maker',
    since: at('00:00', '01'),
    gates: [
      labelGate('open_time', 0.1),
      labelGate('total_assembly', 0.2),
      labelGate('keep_warm', 2),
      labelGate('clamps_off', 0.75),
      labelGate('clamps_off_stressed', 4),
      labelGate('light', 4),
      labelGate('spin', 24),
    ],
    cautions: [],
    min_c: 10,
    max_rh_pct: null,
  },
};

export const OIL: Material = {
  ...GLUE,
  id: 'oil',
  name: 'Oil',
  role: 'finish',
  label: {
    ...GLUE.label,
    id: 'oil-label',
    cautions: ['rags'],
    gates: [labelGate('wipe_off', 0.3), labelGate('touch', 4), labelGate('recoat_closes', 24)],
  },
};

export function view(more: Partial<View> = {}): View {
  return {
    now: NOW,
    version: '1',
    me: {
      person: { id: 'm', name: 'Maker' },
      role: 'owner',
      phone: { id: 'p', name: 'Phone' },
    },
    workshop: { id: 'w', name: 'Shed', zone: 'UTC', home_time: '18:00:00' },
    places: [{ id: 'shed', name: 'Shed', reading: null, expected: [], recent: [] }],
    materials: [GLUE, OIL],
    pieces: ['L-1', 'L-2', 'L-3', 'L-4'].map((tag) => ({
      id: tag,
      tag,
      what: 'drum',
      batch: null,
      zones: [{ id: `${tag} top`, name: 'top', keep_bare: false, coats: 0 }],
      suspect: null,
      joints_declared: false,
    })),
    batches: [],
    groups: [],
    now_list: { soon: [], may: [], wrong: [], not_yet: [] },
    holds: [],
    conflicts: [],
    offsets: [],
    ...more,
  };
}

export function gate(kind: string, last: string | null, more: Partial<Gate> = {}): Gate {
  return {
    kind,
    opens: true,
    hurts: false,
    over: false,
    state: 'waiting',
    bare: last,
    check_from: null,
    acts: { first: last, last },
    sure: null,
    warn: null,
    between: false,
    ...more,
  };
}

export function group(more: Partial<Group> = {}): Group {
  return {
    id: 'g1',
    kind: 'glue_up',
    name: 'drum L-1–2',
    material: { id: 'glue', name: 'PVA-G', label: 'glue-label' },
    place: { id: 'shed', name: 'Shed' },
    pieces: [
      { id: 'L-1', tag: 'L-1' },
      { id: 'L-2', tag: 'L-2' },
    ],
    began_at: at('09:00'),
    state: 'pressed',
    gates: [],
    suspect: [],
    foretold: [],
    unsure: [],
    ...more,
  };
}

export function line(act: string, more: Partial<Line> = {}): Line {
  return {
    act,
    group: 'g1',
    name: 'drum L-1–2',
    pieces: ['L-1', 'L-2'],
    place: 'Shed',
    place_id: 'shed',
    at: null,
    until: null,
    forbidden: null,
    reason: '',
    cautions: [],
    ...more,
  };
}

/** A tap five minutes past ten, kept on this phone. */
export function tap(verb: string, said: Said, more: Partial<Tap> = {}): Tap {
  const when = at('10:05');
  return {
    id: verb,
    verb,
    said,
    at: when,
    pressed_at: when,
    page: 'p',
    stopwatch_ms: 0,
    number: 1,
    state: 'kept',
    ...more,
  };
}
