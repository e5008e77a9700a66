# SPDX-License-Identifier: MIT
"""Ions whose charge no pH changes, ready for `counterion.Solution`.

Ion sizes are of the kind tabulated by Kielland, J. Am. Chem. Soc. 59, 1675 (1937), from memory;
no pH that this package gives depends on them, only the charge counts.

Examples
--------
>>> from counterion import Solution, ions
>>> brine = Solution([(ions.sodium, 0.1), (ions.chloride, 0.1)])
>>> round(brine.ionic_strength, 3)
0.1
"""

from ._core import StrongIon

__all__ = ["calcium", "chloride", "magnesium", "potassium", "sodium"]

sodium = StrongIon("sodium", 1, ion_size_angstrom=4.0)
potassium = StrongIon("potassium", 1, ion_size_angstrom=3.0)
magnesium = StrongIon("magnesium", 2, ion_size_angstrom=8.0)
calcium = StrongIon("calcium", 2, ion_size_angstrom=6.0)
chloride = StrongIon("chloride", -1, ion_size_angstrom=3.0)
