/** What the worker says of notices: one was shown, so ask; one was touched, so go there. */
import { useLocation } from 'preact-iso';
import { useEffect } from 'preact/hooks';
import { sync } from '../sync/beat';

interface FromWorker {
  kind?: string;
  path?: string;
}

export function NoticeTaps() {
  const { route } = useLocation();
  useEffect(() => {
    if (!('serviceWorker' in navigator)) return undefined;
    const hear = (event: MessageEvent<FromWorker>) => {
      if (event.data?.kind === 'shown') void sync();
      if (event.data?.kind === 'open' && event.data.path) route(event.data.path);
    };
    navigator.serviceWorker.addEventListener('message', hear);
    return () => navigator.serviceWorker.removeEventListener('message', hear);
  }, []);
  return null;
}
