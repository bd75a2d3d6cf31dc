/** When the pot was mixed: its clock starts there, not at the spreading. */
import type { Signal } from '@preact/signals';
import { minutesSince, shopTime } from '../models/clock';
import type { Material } from '../models/view';
import { say } from '../words/say';
import { Choose } from './choose';

const MIN_AGO = [0, 5, 10, 20, 30];
const MINUTE_MS = 60_000;

/** How long ago it was said to be, and when that was: an instant, so that it does not wander. */
export interface MixedSaid {
  min: string;
  at_ms: number;
}

export const NOT_SAID: MixedSaid = { min: '', at_ms: 0 };

export function hasPot(material: Material | undefined): boolean {
  return material?.label.gates.some((gate) => gate.kind === 'pot_life') ?? false;
}

export function WhenMixed({ mixed }: { mixed: Signal<MixedSaid> }) {
  const label = (min: number) =>
    min ? say('start.mixed.ago', { min }) : say('start.mixed.now');
  return (
    <Choose
      small
      legend={say('start.mixed')}
      chosen={new Set([mixed.value.min])}
      onChoose={(min) => (mixed.value = { min, at_ms: shopTime() - Number(min) * MINUTE_MS })}
      choices={[
        { value: '', label: say('start.mixed.not') },
        ...MIN_AGO.map((min) => ({ value: String(min), label: label(min) })),
      ]}
    />
  );
}

/** Minutes before now; undefined where nobody said. */
export function mixedAgo({ min, at_ms }: MixedSaid): number | undefined {
  return min === '' ? undefined : minutesSince(at_ms);
}
