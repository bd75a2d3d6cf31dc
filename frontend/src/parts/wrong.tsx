/** What is wrong with what was typed or asked, in words, where it was; nothing while nothing is. */
export function Wrong({ says }: { says: string }) {
  if (!says) return null;
  return (
    <p class="notice notice-stop" role="alert">
      {says}
    </p>
  );
}
