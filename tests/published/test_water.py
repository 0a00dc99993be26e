"""Density of water against the international formulation and two printed tables.

IAPWS-95 (W. Wagner, A. Pruss, J. Phys. Chem. Ref. Data 31 (2002) 387) as programmed in ``chemicals``;
OpenStax Chemistry 2e, Appendix E, Water density; CRC Handbook of Chemistry and Physics, 53rd edition, page F-4.
"""

import pytest
from chemicals.iapws import iapws95_rho

from rules.tables.density import water_density

OPENSTAX = {0: 0.9998395, 4: 0.9999720, 10: 0.9997026, 15: 0.9991026, 20: 0.9982071, 22: 0.9977735, 25: 0.9970479,
            30: 0.9956502, 40: 0.9922}
CRC_53 = {0: 0.999841, 1: 0.999900, 2: 0.999941, 3: 0.999965, 4: 0.999973, 5: 0.999965, 6: 0.999941, 7: 0.999902,
          8: 0.999849, 9: 0.999781, 10: 0.999700, 11: 0.999605, 12: 0.999498, 13: 0.999377, 14: 0.999244, 15: 0.999099}


@pytest.mark.parametrize("t", [0, 4, 10, 15, 18, 20, 22, 25, 30, 35, 40])
def test_iapws_95(t: int) -> None:
    assert water_density(t) == pytest.approx(iapws95_rho(t + 273.15, 101325.0) / 1000.0, rel=2e-6)


@pytest.mark.parametrize("t", sorted(OPENSTAX))
def test_openstax_appendix_e(t: int) -> None:
    assert water_density(t) == pytest.approx(OPENSTAX[t], abs=2e-5 if t == 40 else 4e-6)


@pytest.mark.parametrize("t", sorted(CRC_53))
def test_crc_handbook(t: int) -> None:
    assert water_density(t) == pytest.approx(CRC_53[t], abs=4e-6)
