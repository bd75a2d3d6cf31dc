/** From outside the house: by the owner's name and password, for a week. */
import { useSignal } from '@preact/signals';
import { AskFailed, post } from '../sync/ask';
import { say } from '../words/say';
import { kindOfPhone, useEntered, type Paired } from './entered';
import { Field } from './field';
import { problemWords, Wrong } from './wrong';

export function SignIn() {
  const [name, password, wrong] = [useSignal(''), useSignal(''), useSignal('')];
  const entered = useEntered();
  const go = async (event: Event) => {
    event.preventDefault();
    const said = { name: name.value.trim(), password: password.value };
    try {
      await entered(
        await post<Paired>('/api/sign-in', { ...said, phone_name: say(kindOfPhone()) }),
      );
    } catch (cause) {
      const shut = cause instanceof AskFailed && cause.failure === 'not_here';
      wrong.value = shut ? say('signin.shut') : problemWords(cause);
    }
  };
  return (
    <form class="stack unfolded" onSubmit={go}>
      <p>{say('signin.note')}</p>
      <Field label={say('outside.name')} value={name} required />
      <Field label={say('outside.password')} value={password} type="password" most={500} required />
      <Wrong says={wrong.value} />
      <button type="submit" class="tape tape-wide">
        <span class="tape-verb">{say('signin.go')}</span>
      </button>
    </form>
  );
}
