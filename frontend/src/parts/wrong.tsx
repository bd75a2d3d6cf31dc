/** What is wrong with what was typed or asked, in words, where it was; nothing while nothing is. */
import { AskFailed } from '../sync/ask';
import { say } from '../words/say';

export function Wrong({ says }: { says: string }) {
  if (!says) return null;
  return (
    <p class="notice notice-stop" role="alert">
      {says}
    </p>
  );
}

/** The server's own words for a refusal, or that it was not reached. */
export function problemWords(cause: unknown): string {
  return (cause instanceof AskFailed && cause.problem?.detail) || say('trouble.not_reached');
}
