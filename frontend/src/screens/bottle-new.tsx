/** Another bottle or can: its kind is enough to begin. */
import { useSignal } from '@preact/signals';
import { useLocation, useRoute } from 'preact-iso';
import { useEffect } from 'preact/hooks';
import { library, libraryMissing, needLibrary, type Family } from '../models/library';
import { tell } from '../models/tell';
import { newId } from '../sync/outbox';
import { NameField } from '../parts/name-field';
import { Choose } from '../parts/choose';
import { say } from '../words/say';

/** What a start asks for by one word takes in its neighbours. */
const NEAR: Record<string, string[]> = { finish: ['finish', 'stain', 'filler'] };

function kindsFor(role: string | undefined): Family[] {
  const roles = role ? (NEAR[role] ?? [role]) : undefined;
  return (library.value?.families ?? []).filter((one) => !roles || roles.includes(one.role));
}

export default function BottleNew() {
  const { query } = useRoute();
  const { route } = useLocation();
  const family = useSignal('');
  const name = useSignal('');
  useEffect(() => void needLibrary(), []);
  const kinds = kindsFor(query.role);
  const choose = (key: string) => {
    const before = kinds.find((one) => one.key === family.value)?.name ?? '';
    if (name.value === before) name.value = kinds.find((one) => one.key === key)?.name ?? '';
    family.value = key;
  };
  const add = async (event: Event) => {
    event.preventDefault();
    if (!family.value || !name.value.trim()) return;
    const ids = { material: newId(), label: newId() };
    const said = { ...ids, name: name.value.trim(), family: family.value };
    if (!(await tell('label_read', said))) return;
    if (query.role) history.back();
    else route('/bottles');
  };
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('bottle.new')}</h1>
      {libraryMissing.value && <p role="alert">{say('setup.library_missing')}</p>}
      <form class="stack" onSubmit={add}>
        <Choose
          legend={say('bottle.kind')}
          chosen={new Set([family.value])}
          onChoose={choose}
          choices={kinds.map((one) => ({ value: one.key, label: one.name }))}
        />
        <NameField label="bottle.name" value={name} />
        <button type="submit" class="tape tape-wide" disabled={!family.value}>
          <span class="tape-verb">{say('bottle.add')}</span>
        </button>
      </form>
    </main>
  );
}
