/** What a phone shows before anything has been started. */
export function FirstPage() {
  return (
    <main>
      <h1>CureClock</h1>
      <p>Nothing is curing yet.</p>
    </main>
  );
}
