/** What other phones told lately, and may be taken back from here too. */
import { signal } from '@preact/signals';
import { minute } from './clock';
import { served, taps } from './shop';
import type { Instant } from './view';

export interface ToldLately {
  id: string;
  kind: string;
  at: Instant;
  until: Instant;
  person: string;
  phone: string;
  phone_name: string;
  about: string;
}

export const lately = signal<ToldLately[]>([]);

/** Of other phones, not taken back here already, and not too long ago. */
export function ofOthers(): ToldLately[] {
  const me = served.value?.me.phone.id;
  const struck = new Set(
    taps.value
      .filter((tap) => tap.verb === 'struck_out' && tap.state !== 'refused')
      .map((tap) => tap.said.target),
  );
  return lately.value.filter(
    (one) => one.phone !== me && !struck.has(one.id) && Date.parse(one.until) > minute.value,
  );
}
