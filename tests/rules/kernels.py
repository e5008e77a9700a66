# SPDX-License-Identifier: MIT
"""Kernels for one instruction set define nothing that another file could be given instead of its own.

usage: kernels.py NM LIBRARY MEMBER…
A linker keeps one copy of what several objects define in common; one that was compiled for a newer processor must not
be it. So whatever such an object shares must carry its batch type in its name, and it must run nothing at start-up.
"""
import subprocess
import sys


def symbols(nm, library, member):
    """(kind, name) of everything that a member of the library defines."""
    listed = subprocess.run([nm, "--demangle", "--defined-only", library], check=True, capture_output=True,
                            text=True).stdout
    blocks = listed.split(f"\n{member}:\n")
    if len(blocks) != 2:
        sys.exit(f"{library} has no single member {member}")
    for line in blocks[1].split("\n\n")[0].splitlines():
        _, kind, name = line.split(" ", 2)
        yield kind, name


def faults_of(kind, name):
    if "_GLOBAL__sub_I" in name:
        yield f"runs at start-up: {name}"
    elif kind in "WVu" and "xsimd::" not in name and not name.startswith("DW.ref."):
        yield f"shared with other files: {name}"


if __name__ == "__main__":
    nm, library, *members = sys.argv[1:]
    faults = [f"{member} {fault}" for member in members for found in symbols(nm, library, member)
              for fault in faults_of(*found)]
    print("\n".join(faults))
    sys.exit(1 if faults else 0)
