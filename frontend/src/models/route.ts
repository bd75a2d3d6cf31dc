/** A route being written: steps one after the other, each after the gate of the one before. */
import type { Said } from '../store/tap';
import type { Material } from './view';

export interface StepDraft {
  key: string;
  hands_min: number;
  each_min: number;
  at_once: number;
  machine: string;
  alone_min: number;
  place: string;
  material: string;
  /** Of the wood across the joint; null: as thick as what was glued with it before. */
  thickness_mm: number | null;
  /** Gate of the step before that has to be open; empty: one may follow at once. */
  gate: string;
  dusty: boolean;
}

export function emptyStep(): StepDraft {
  return {
    key: '',
    hands_min: 10,
    each_min: 0,
    at_once: 1,
    machine: '',
    alone_min: 0,
    place: '',
    material: '',
    thickness_mm: null,
    gate: '',
    dusty: false,
  };
}

/** What opens after a material was applied, by its label. */
export function gatesOf(material: Material | undefined): string[] {
  const shut = /closes|_off$|open_time|total_assembly|pot_life|keep_warm|remove_by/;
  return (material?.label.gates ?? [])
    .map((gate) => gate.kind)
    .filter((kind) => kind === 'clamps_off' || !shut.test(kind));
}

/** Names as they have to be: each its own. */
export function nameTaken(steps: readonly StepDraft[], name: string): boolean {
  return steps.some((one) => one.key === name);
}

/** The happening that tells a route; the last gate is what has to be open before a piece is done. */
export function routeSaid(
  route: string,
  name: string,
  steps: readonly StepDraft[],
  last: string,
): Said {
  const told = steps.map((one, i) => {
    const before = steps[i - 1];
    return {
      key: one.key,
      hands_min: one.hands_min,
      each_min: one.each_min,
      at_once: one.at_once,
      machine: one.machine || null,
      alone_min: one.machine ? one.alone_min : 0,
      place: one.place || null,
      material: one.material || null,
      dusty: one.dusty,
      ...(one.thickness_mm !== null && { thickness_mm: one.thickness_mm }),
      after: before ? [{ step: before.key, gate: one.gate }] : [],
    };
  });
  const end = steps.at(-1);
  const done = end && last ? [{ step: end.key, gate: last }] : [];
  return { route, name, steps: told, done };
}
