# SPDX-License-Identifier: MIT
"""Kernels for one instruction set define nothing that another file could be given instead of its own.

usage: kernels.py NM LIBRARY MEMBER=ARCHITECTURE… | --self-check
A linker keeps one copy of what several objects define in common; one that was compiled for a newer processor must not
be it. So whatever such an object shares must carry its architecture in its name, and it must run nothing at start-up.
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


def faults_of(kind, name, architecture):
    if "_GLOBAL__sub_I" in name:
        yield f"runs at start-up: {name}"
    elif kind in "WVu" and architecture not in name and not name.startswith("DW.ref."):
        yield f"shared with other files: {name}"


def self_check():
    arch = "xsimd::avx2"
    assert not [*faults_of("W", "solve_in_lanes<xsimd::batch<double, xsimd::avx2> >(int)", arch)]
    assert not [*faults_of("T", "counterion::chemistry::avx2_lanes()", arch)]
    assert [*faults_of("W", "counterion::Ion::~Ion()", arch)]
    assert [*faults_of("W", "xsimd::available_architectures()", arch)]
    assert [*faults_of("u", "counterion::hydrogen_ion", arch)]
    assert [*faults_of("t", "_GLOBAL__sub_I_lanes", arch)]


if __name__ == "__main__":
    if sys.argv[1:] == ["--self-check"]:
        sys.exit(self_check())
    nm, library, *members = sys.argv[1:]
    faults = [f"{member} {fault}" for member, architecture in (item.split("=") for item in members)
              for found in symbols(nm, library, member) for fault in faults_of(*found, architecture)]
    print("\n".join(faults))
    sys.exit(1 if faults else 0)
