/** Another bottle or can: its kind is enough to begin. */
import { useSignal } from '@preact/signals';
import { useLocation, useRoute } from 'preact-iso';
import { useEffect } from 'preact/hooks';
import { library, libraryMissing, needLibrary } from '../models/library';
import { tell } from '../models/tell';
import { newId } from '../sync/outbox';
import { Choose } from '../parts/choose';
import { say } from '../words/say';

/** What a start asks for by one word takes in its neighbours. */
const NEAR: Record<string, string[]> = { finish: ['finish', 'stain', 'filler'] };

export function BottleNew() {
  const { query } = useRoute();
  const { route } = useLocation();
  const family = useSignal('');
  const name = useSignal('');
  useEffect(() => void needLibrary(), []);
  const roles = query.role ? (NEAR[query.role] ?? [query.role]) : undefined;
  const kinds = (library.value?.families ?? []).filter((one) => !roles || roles.includes(one.role));
  const choose = (key: string) => {
    const before = kinds.find((one) => one.key === family.value)?.name ?? '';
    if (name.value === before) name.value = kinds.find((one) => one.key === key)?.name ?? '';
    family.value = key;
  };
  const add = async (event: Event) => {
    event.preventDefault();
    if (!family.value || !name.value.trim()) return;
    const said = {
      material: newId(),
      label: newId(),
      name: name.value.trim(),
      family: family.value,
    };
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
        <label class="field">
          <span>{say('bottle.name')}</span>
          <input
            required
            maxLength={80}
            value={name.value}
            onInput={(event) => (name.value = event.currentTarget.value)}
          />
        </label>
        <button type="submit" class="tape tape-wide" disabled={!family.value}>
          <span class="tape-verb">{say('bottle.add')}</span>
        </button>
      </form>
    </main>
  );
}
