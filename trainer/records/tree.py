"""The tree over the record log (RFC 6962): its root, what proves an entry in it, what proves that it only grew."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

HASH_BYTES = 32


def leaf_hash(data: bytes) -> bytes:
    """The hash of one entry. Source: RFC 6962, section 2.1 (the byte 00 tells a leaf from a node)."""
    return hashlib.sha256(b"\x00" + data).digest()


def node_hash(left: bytes, right: bytes) -> bytes:
    """The hash of two subtrees side by side. Source: RFC 6962, section 2.1."""
    return hashlib.sha256(b"\x01" + left + right).digest()


@dataclass(frozen=True)
class Peaks:
    """The whole subtrees at the right edge of a tree, largest first; enough to add leaves and to give the root.

    size: how many leaves they stand for; hashes: one for each binary one in the size
    """

    size: int = 0
    hashes: tuple[bytes, ...] = ()

    def root(self) -> bytes:
        """The root of the tree so far; of none, the hash of nothing."""
        if not self.hashes:
            return hashlib.sha256(b"").digest()
        root = self.hashes[-1]
        for left in reversed(self.hashes[:-1]):
            root = node_hash(left, root)
        return root

    def grown(self, leaves: Iterable[bytes]) -> Peaks:
        """The peaks after these leaf hashes; one or two hashes a leaf, however tall the tree."""
        size, hashes = self.size, list(self.hashes)
        for leaf in leaves:
            hash_, carry = leaf, size
            while carry & 1:
                hash_, carry = node_hash(hashes.pop(), hash_), carry >> 1
            hashes.append(hash_)
            size += 1
        return Peaks(size, tuple(hashes))


def read_peaks(size: int, text: str) -> Peaks | None:
    """The peaks that `peaks_text` wrote; None for a text that cannot stand for a tree of that size."""
    try:
        hashes = tuple(bytes.fromhex(part) for part in text.split())
    except ValueError:
        return None
    fits = size >= 0 and len(hashes) == size.bit_count() and all(len(one) == HASH_BYTES for one in hashes)
    return Peaks(size, hashes) if fits else None


def peaks_text(peaks: Peaks) -> str:
    """The peaks as hex, a blank between."""
    return " ".join(one.hex() for one in peaks.hashes)


def root_of(leaves: Sequence[bytes]) -> bytes:
    """The root over these leaf hashes."""
    return Peaks().grown(leaves).root()


def inclusion_proof(leaves: Sequence[bytes], index: int) -> list[bytes]:
    """What leads from leaf `index` (from 0) to the root, from below. Source: RFC 6962, section 2.1.1."""
    if not 0 <= index < len(leaves):
        raise IndexError(f"leaf {index} is not one of {len(leaves)}")
    if len(leaves) == 1:
        return []
    split = _split(len(leaves))
    if index < split:
        return [*inclusion_proof(leaves[:split], index), root_of(leaves[split:])]
    return [*inclusion_proof(leaves[split:], index - split), root_of(leaves[:split])]


def consistency_proof(leaves: Sequence[bytes], earlier: int) -> list[bytes]:
    """What shows that the tree of the first `earlier` leaves stands in the tree of all. RFC 6962, section 2.1.2."""
    if not 0 < earlier <= len(leaves):
        raise IndexError(f"there is no tree of {earlier} in one of {len(leaves)}")
    return _subproof(leaves, earlier, whole=True)


def _subproof(leaves: Sequence[bytes], earlier: int, *, whole: bool) -> list[bytes]:
    if earlier == len(leaves):
        return [] if whole else [root_of(leaves)]
    split = _split(len(leaves))
    if earlier <= split:
        return [*_subproof(leaves[:split], earlier, whole=whole), root_of(leaves[split:])]
    return [*_subproof(leaves[split:], earlier - split, whole=False), root_of(leaves[:split])]


def _split(size: int) -> int:
    """The largest power of two below `size`, which is 2 or more."""
    return 1 << ((size - 1).bit_length() - 1)


def proves_inclusion(leaf: bytes, index: int, size: int, proof: Sequence[bytes], root: bytes) -> bool:
    """Whether the proof leads from the leaf hash to the root.

    index: from 0; size, root: both from one signed head, never from whoever brings the proof: a proof does not bind
    the size. Source: RFC 9162, section 2.1.3.2.
    """
    if not 0 <= index < size or not _are_hashes((leaf, root, *proof)):
        return False
    node, last, hash_ = index, size - 1, leaf
    for step in proof:
        if last == 0:
            return False
        if node & 1 or node == last:
            hash_ = node_hash(step, hash_)
            while not node & 1 and node:
                node, last = node >> 1, last >> 1
        else:
            hash_ = node_hash(hash_, step)
        node, last = node >> 1, last >> 1
    return last == 0 and hash_ == root


def proves_growth(
    earlier: int, later: int, proof: Sequence[bytes], earlier_root: bytes, later_root: bytes
) -> bool:
    """Whether the later tree holds the earlier one unchanged.

    Sizes and roots come from signed heads alone, as in `proves_inclusion`. Every tree holds the empty one.
    Source: RFC 9162, section 2.1.4.2.
    """
    if not 0 <= earlier <= later or not _are_hashes((earlier_root, later_root, *proof)):
        return False
    if earlier == 0:
        return not proof and earlier_root == root_of(())
    if earlier == later:
        return not proof and earlier_root == later_root
    steps = list(proof) if earlier & (earlier - 1) else [earlier_root, *proof]
    if not steps:
        return False
    node, last = earlier - 1, later - 1
    while node & 1:
        node, last = node >> 1, last >> 1
    old = new = steps[0]
    for step in steps[1:]:
        if last == 0:
            return False
        if node & 1 or node == last:
            old, new = node_hash(step, old), node_hash(step, new)
            while not node & 1 and node:
                node, last = node >> 1, last >> 1
        else:
            new = node_hash(new, step)
        node, last = node >> 1, last >> 1
    return last == 0 and old == earlier_root and new == later_root


def _are_hashes(hashes: Iterable[bytes]) -> bool:
    return all(len(one) == HASH_BYTES for one in hashes)
