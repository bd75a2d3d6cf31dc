/** What does my label say, who read it, and what is only typical? */
import { view } from '../models/shop';
import { minute } from '../models/clock';
import { Odd, useShelf } from '../parts/container-told';
import { LinkRow } from '../parts/link-row';
import { say, type Key } from '../words/say';
import { when } from '../words/times';
import type { Material } from '../models/view';

const ROLES = ['adhesive', 'finish', 'stain', 'filler', 'hold'];

export default function Bottles() {
  const shelf = useShelf() ?? [];
  const materials = view.value?.materials ?? [];
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.bottles')}</h1>
      {ROLES.map((role) => {
        const members = materials.filter((one) => one.role === role);
        if (!members.length) return null;
        return (
          <section key={role}>
            <h2 class="part-head">{say(`bottle.role.${role}` as Key)}</h2>
            <div class="rows">
              {members.map((one) => (
                <LinkRow
                  key={one.id}
                  href={`/bottle/${one.id}`}
                  title={one.name}
                  note={readWords(one)}
                >
                  {shelf
                    .filter((own) => own.material === one.id && own.odd.length > 0)
                    .map((own) => (
                      <span key={own.id}>
                        <b>{own.name}</b>
                        <Odd odd={own.odd} />
                      </span>
                    ))}
                </LinkRow>
              ))}
            </div>
          </section>
        );
      })}
      <LinkRow href="/bottle/new" title={say('bottle.new')} />
    </main>
  );
}

export function readWords(material: Material): string {
  const { read, read_by, since } = material.label;
  if (!read) return say('bottle.unread');
  const at = when(since, minute.value);
  return read_by ? say('bottle.read', { person: read_by, at }) : say('bottle.read_plain', { at });
}
