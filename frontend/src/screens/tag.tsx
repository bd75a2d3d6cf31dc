/** The address on a printed tag: it lands on its piece in one step. */
import { useLocation, useRoute } from 'preact-iso';
import { useEffect } from 'preact/hooks';
import { view } from '../models/shop';
import { pieceOfTag } from '../models/tag-read';
import { Missing } from '../parts/missing';

export function Tag() {
  const { params } = useRoute();
  const { route } = useLocation();
  const piece = pieceOfTag(params.tag ?? '', view.value?.pieces ?? []);
  useEffect(() => {
    if (piece) route(`/piece/${piece.id}`, true);
  }, [piece?.id]);
  return piece ? null : <Missing />;
}
