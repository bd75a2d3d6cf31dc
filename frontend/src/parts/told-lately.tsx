/** The last acts of the others, for ten minutes: a slip is seen by whoever stands beside it. */
import { useEffect } from 'preact/hooks';
import { minute } from '../models/clock';
import { lately, ofOthers, type ToldLately } from '../models/lately';
import { mayRecord, served } from '../models/shop';
import { tell } from '../models/tell';
import { get } from '../sync/ask';
import { say, word } from '../words/say';
import { when } from '../words/times';

export function TakeBack() {
  const heard = served.value?.now;
  useEffect(() => {
    if (!heard) return;
    void get<{ told: ToldLately[] }>('/api/lately').then(
      (found) => (lately.value = Array.isArray(found?.told) ? found.told : []),
      () => (lately.value = []),
    );
  }, [heard]);
  const shown = mayRecord.value ? ofOthers() : [];
  if (!shown.length) return null;
  return (
    <section class="part">
      <h2 class="part-head">{say('undo.others')}</h2>
      {shown.map((one) => {
        const about = say('undo.about', {
          verb: word(`verb.${one.kind}`),
          at: when(one.at, minute.value),
        });
        return (
          <div class="line-with-tap" key={one.id}>
            <p>
              <b>{about}</b> {one.about}
              <br />
              <span class="soft">
                {say('settle.who', { person: one.person, phone: one.phone_name })}
              </span>
            </p>
            <button
              type="button"
              class="quiet"
              aria-label={`${say('undo.do')} – ${about}, ${one.person}`}
              onClick={() => tell('struck_out', { target: one.id }, 0)}
            >
              {say('undo.do')}
            </button>
          </div>
        );
      })}
    </section>
  );
}
