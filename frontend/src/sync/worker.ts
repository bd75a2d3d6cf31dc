/** Starts the service worker where the browser allows one: over HTTPS, or on the machine itself. */
export async function keepWorkingOffline(): Promise<boolean> {
  if (typeof navigator === 'undefined' || !('serviceWorker' in navigator)) return false;
  await navigator.serviceWorker.register('/sw.js');
  return true;
}
