/** Glue-ups and coats told on this phone: shown with provisional figures until the server speaks. */
import type { Said } from '../store/tap';
import type { Folding } from './fold';
import { provisionalGates } from './provisional';
import type { Gate, Group, GroupState, Instant, Material, View } from './view';

/** Gates that count from the mixing, the spreading and the beginning of a coat. */
const FROM_MIXING = new Set(['pot_life']);
const FROM_SPREAD = new Set(['open_time', 'total_assembly']);
const FROM_BEGAN = new Set(['wipe_off']);

function spreadBegan(view: View, said: Said, at: string): View {
  const joints = said.joints as { piece: string }[];
  const group = begun(view, said, at, said.glue_up, [...new Set(joints.map((one) => one.piece))]);
  return put(view, { ...group, stressed: said.stressed === true }, (kind) => FROM_SPREAD.has(kind));
}

function coatBegan(view: View, said: Said, at: string): View {
  const zones = new Set(said.zones as string[]);
  const pieces = view.pieces.filter((piece) => piece.zones.some((zone) => zones.has(zone.id)));
  const ids = pieces.map((piece) => piece.id);
  const group = begun(view, said, at, said.coat, ids);
  return put(view, { ...group, kind: 'coat', state: 'coating' }, (kind) => FROM_BEGAN.has(kind));
}

function begun(view: View, said: Said, at: string, id: unknown, pieces: string[]): Group {
  const material = view.materials.find((one) => one.label.id === said.label);
  const place = view.places.find((one) => one.id === said.place);
  return {
    id: String(id),
    kind: 'glue_up',
    name: String(said.name),
    material: { id: material?.id ?? '', name: material?.name ?? '', label: String(said.label) },
    place: { id: String(said.place), name: place?.name ?? '' },
    pieces: view.pieces
      .filter((one) => pieces.includes(one.id))
      .map(({ id: piece, tag }) => ({ id: piece, tag })),
    began_at: at,
    state: 'spreading',
    gates: [],
    suspect: [],
    foretold: [],
    unsure: [],
    provisional: true,
  };
}

function put(view: View, group: Group, kinds: (kind: string) => boolean): View {
  const whole = { ...group, gates: gatesOf(view, group, group.began_at, group.began_at, kinds) };
  return { ...view, groups: [...view.groups.filter((one) => one.id !== whole.id), whole] };
}

function gatesOf(
  view: View,
  group: Group,
  first: Instant,
  last: Instant,
  kinds: (kind: string) => boolean,
): Gate[] {
  const material = materialOf(view, group);
  return material
    ? provisionalGates(view.offsets, material, group.place.id, first, last, kinds)
    : [];
}

export function materialOf(view: View, group: Group): Material | undefined {
  return view.materials.find((one) => one.label.id === group.material.label);
}

/** The pot's clock starts at mixing; a larger pot than the label speaks of lives shorter. */
function mixed(view: View, said: Said, at: string): View {
  return withGroup(view, said.glue_up, (group) => {
    const share = potShare(materialOf(view, group), said.mass_g);
    const pot = gatesOf(view, group, at, at, (kind) => FROM_MIXING.has(kind)).map((gate) => ({
      ...gate,
      acts: { first: sooner(at, gate.acts.first, share), last: sooner(at, gate.acts.last, share) },
    }));
    const others = group.gates.filter((gate) => !FROM_MIXING.has(gate.kind));
    return { ...group, provisional: true, gates: [...pot, ...others] };
  });
}

function potShare(material: Material | undefined, mass_g: unknown): number {
  const told = material?.label.pot_mass_g;
  return told && typeof mass_g === 'number' ? Math.min(1, told / mass_g) : 1;
}

function sooner(from: Instant, to: Instant | null, share: number): Instant | null {
  if (to === null || share === 1) return to;
  const start = Date.parse(from);
  return new Date(start + (Date.parse(to) - start) * share).toISOString();
}

function pressureOn(view: View, said: Said, at: string): View {
  return withGroup(view, said.glue_up, (group) => {
    const held = group.stressed ? 'clamps_off' : 'clamps_off_stressed';
    const kinds = (kind: string) =>
      !FROM_SPREAD.has(kind) && !FROM_MIXING.has(kind) && kind !== held;
    return {
      ...group,
      state: 'pressed',
      provisional: true,
      gates: gatesOf(view, group, at, at, kinds),
    };
  });
}

/** Opens count from the last piece, closes from the first; wiping counts from the beginning. */
function coatEnded(view: View, said: Said, at: string): View {
  if (said.zones) return view;
  return withGroup(view, said.coat, (group) => {
    const { began_at } = group;
    const wiping = gatesOf(view, group, began_at, began_at, (kind) => FROM_BEGAN.has(kind));
    const rest = gatesOf(view, group, began_at, at, (kind) => fromEnded(kind));
    return { ...dried(view, group), gates: [...wiping, ...rest] };
  });
}

/** The gates that count from the last hands-on act count from the wiping; that itself is done. */
function wiped(view: View, said: Said, at: string): View {
  if (said.zones) return view;
  return withGroup(view, said.coat, (group) => {
    if (group.state === 'coating' || group.state === 'paused') return group;
    return { ...dried(view, group), gates: gatesOf(view, group, at, at, fromEnded) };
  });
}

function fromEnded(kind: string): boolean {
  return !FROM_MIXING.has(kind) && !FROM_BEGAN.has(kind);
}

function dried(view: View, group: Group): Group {
  const rags = materialOf(view, group)?.label.cautions.includes('rags') ?? false;
  return { ...group, state: 'drying', provisional: true, rags };
}

function ragPlaced(view: View, said: Said): View {
  return withGroup(view, said.coat, (group) => ({ ...group, provisional: true, rags: false }));
}

function movedPlace(view: View, said: Said): View {
  const place = view.places.find((one) => one.id === said.place);
  const id = said.glue_up ?? said.coat;
  if (!place || !id) return view;
  const to = { id: place.id, name: place.name };
  return withGroup(view, id, (group) => ({ ...group, place: to, provisional: true }));
}

function closedUp(view: View, said: Said): View {
  if (said.joints) return view;
  return withGroup(view, said.glue_up, (group) => {
    const gates = group.gates.filter((gate) => gate.kind !== 'open_time');
    return { ...group, state: 'closed', provisional: true, gates };
  });
}

function inState(field: string, state: GroupState): Folding {
  return (view, said) =>
    said.joints || said.zones
      ? view
      : withGroup(view, said[field], (group) => ({ ...group, state, provisional: true }));
}

function withGroup(view: View, id: unknown, change: (group: Group) => Group): View {
  return { ...view, groups: view.groups.map((one) => (one.id === id ? change(one) : one)) };
}

export const glueUpTold: Record<string, Folding> = {
  spread_began: spreadBegan,
  mixed,
  closed: closedUp,
  pressure_on: pressureOn,
  clamps_off: inState('glue_up', 'resting'),
  moved_place: movedPlace,
};

export const coatTold: Record<string, Folding> = {
  coat_began: coatBegan,
  coat_paused: inState('coat', 'paused'),
  coat_resumed: inState('coat', 'coating'),
  coat_ended: coatEnded,
  wiped,
  rag_placed: ragPlaced,
};
