import { describe, expect, it } from 'vitest';
import { wholes } from '../src/models/coats';
import type { Piece } from '../src/models/view';

const piece = (id: string, zones: Piece['zones'] = []): Piece => ({
  id,
  tag: 'A-1',
  what: '',
  batch: null,
  zones,
  suspect: null,
  joints_declared: false,
});
const ID = '0f3c9a52-1111-4222-8333-444455556666';

describe('a piece of which nobody told the parts', () => {
  it('is coated as a whole, and every phone means the same part by it', () => {
    const [first] = wholes([piece(ID)], 'whole');
    expect(first).toEqual({ id: 'f0c365ad-1111-4222-8333-444455556666', piece: ID, name: 'whole' });
    expect(wholes([piece(ID)], 'whole')).toEqual([first]);
  });

  it('keeps the parts it has', () => {
    const zone = { id: ID, name: 'stem', keep_bare: false, coats: 0 };
    expect(wholes([piece(ID, [zone])], 'whole')).toEqual([]);
  });

  it('gets none where what it has is kept bare', () => {
    const zone = { id: ID, name: 'tenon', keep_bare: true, coats: 0 };
    expect(wholes([piece(ID, [zone])], 'whole')).toEqual([]);
  });
});
