"""Where a file lies: a write-ahead log needs shared memory, which a network share does not give."""

from __future__ import annotations

from pathlib import Path

_NETWORK = frozenset(
    {"nfs", "nfs4", "cifs", "smb3", "smbfs", "9p", "afs", "ceph", "glusterfs", "lustre", "davfs", "ncpfs"}
)
_MOUNTS = Path("/proc/self/mountinfo")


def is_on_network(file: Path, mounts: Path = _MOUNTS) -> bool:
    """Return whether `file` lies on a network share, as far as the system tells (Linux only)."""
    try:
        lines = mounts.read_text(encoding="utf-8", errors="surrogateescape").splitlines()
    except OSError:
        return False
    there = file.absolute().resolve()
    best = (-1, "")
    for line in lines:
        before, _, after = line.partition(" - ")
        fields = before.split()
        if len(fields) < 5 or not after:
            continue
        point = Path(fields[4].replace("\\040", " "))
        if there.is_relative_to(point) and len(point.parts) >= best[0]:
            best = (len(point.parts), after.split()[0])
    kind = best[1]
    return kind in _NETWORK or (
        kind.startswith("fuse.") and kind in {"fuse.sshfs", "fuse.rclone", "fuse.s3fs"}
    )
