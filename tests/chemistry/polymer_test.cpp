// SPDX-License-Identifier: MIT
// Acid polymers against published titrations and gels, and the model's own promises.
#include <counterion/chemistry/solution.hpp>

#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>
#include <utility>

using namespace counterion;
using namespace counterion::chemistry;

namespace {

const Water water;
const AcidPolymer polyacrylic_acid;

// USP 32, monograph Carbomer 940: "not less than 56.0 percent and not more than 68.0 percent of
// carboxylic acid".
constexpr double carbomer_meq_per_g = 13.2;  // between the lower limit, 12.4, and bare units, 13.9

PolymerState at(double pH, double ionic_strength, const AcidPolymer& polymer = polyacrylic_acid) {
  return ionisation(polymer, -pH * ln10, std::sqrt(ionic_strength), water);
}

/// Root of a rising function between `low` and `high`.
template <class Function>
double rising_root(double low, double high, Function&& f) {
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (f(middle) < 0 ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

/// Apparent pK where a share `ionised` has lost its proton.
double apparent_pK_at(double ionised, double ionic_strength) {
  const double pH = rising_root(
      0, 14, [&](double trial) { return at(trial, ionic_strength).ionised - ionised; });
  return apparent_pK(polyacrylic_acid, at(pH, ionic_strength), std::sqrt(ionic_strength), water);
}

/// Sites, strong base, 1:1 salt and triethanolamine (pK 7.76) in mol per kg of water.
struct Gel {
  double sites = 0, base = 0, salt = 0, amine = 0;

  double charge(double pH) const {
    const double h = std::pow(10, -pH), Kw = std::pow(10, -water.pKw);
    double H = 0, OH = 0, cation = 0;
    const double u = rising_root(0, 4, [&](double trial) {
      const double gamma = Davies(water, trial, davies_limit).gamma(1, 0);
      H = h / gamma, OH = Kw / h / gamma;
      cation = amine / (1 + std::pow(10, -7.76) / h * gamma);
      const double bound = ionisation(polyacrylic_acid, -pH * ln10, trial, water).bound;
      return trial * trial - (0.5 * (H + base + cation + OH) + salt - 0.5 * sites * bound);
    });
    return H + base + cation - OH - sites * ionisation(polyacrylic_acid, -pH * ln10, u, water).ionised;
  }
  double pH() const {
    return rising_root(0, 14, [&](double trial) { return -charge(trial); });
  }
};

double carbomer_sites(double percent) {
  return percent * carbomer_meq_per_g / (100 - percent);
}

double pH_of_carbomer(double percent) {
  return Gel{carbomer_sites(percent)}.pH();
}

/// Strong base that brings `percent` of carbomer to a pH, in mol per mol of sites: the share neutralised.
double share_neutralised(double percent, double pH) {
  const double sites = carbomer_sites(percent);
  return rising_root(0, 1.2, [&](double share) { return Gel{sites, share * sites}.pH() - pH; });
}

}  // namespace

TEST_CASE("a 1 % carbomer dispersion is as acid as the pharmacopoeia's indicators say") {
  // USP 28 - NF 23, monograph Carbomer 934P, Identification A, dispersion 1 in 100: "thymol blue TS:
  // an orange color", "cresol red TS: a yellow color". Orange ends at pH 2.8, yellow starts at 1.8
  // (transition ranges from memory).
  CHECK(pH_of_carbomer(1) < 2.8);
  CHECK(pH_of_carbomer(1) > 1.8);
}

TEST_CASE("a 1.48 % carbomer dispersion starts its titration where it was measured") {
  // Curran, Hayes, Afacan, Williams and Tanguy, J. Food Sci. 67, 176 (2002), abstract: "between pH =
  // 2.8 and 12.7. Aqueous NaOH was used to adjust pH of 1.48 wt %" solutions, taken as 2.8 without base.
  MESSAGE("1.48 %: pH " << pH_of_carbomer(1.48) << ", measured 2.8");
  CHECK(std::abs(pH_of_carbomer(1.48) - 2.8) <= 0.2);
}

TEST_CASE("Newton settles every gel, whatever its sites, base and salt") {
  const DaviesModel model{water};
  for (const double sites : {0.003, 0.01, 0.03, 0.07, 0.15})
    for (int twentieths = 0; twentieths <= 24; ++twentieths)
      for (const double salt : {0.0, 0.001, 0.01, 0.1})
        for (const bool amine : {false, true}) {
          const double base = sites * twentieths / 20;
          Mixture gel;
          gel.polymers.push_back({sites, polyacrylic_acid});
          if (amine) gel.protolytes.push_back({base, Ladder(Protolyte(1, {{7.76}}), reference_kelvin)});
          else gel.add_ion(1, base, "sodium");
          gel.add_ion(1, salt, "sodium");
          gel.add_ion(-1, salt, "chloride");
          const auto root = newton_root(gel, Solvent(water, gel), model);
          REQUIRE(root);
          CHECK(root->passes <= 15);
        }
}

TEST_CASE("carbomer dispersions have the pH that the trade declares") {
  // Common practice: 2.5 to 3.5 at 0.5 %, 2.5 to 3.0 at 1 %.
  CHECK(pH_of_carbomer(0.5) > 2.5);
  CHECK(pH_of_carbomer(0.5) < 3.5);
  CHECK(pH_of_carbomer(1) > 2.5);
  CHECK(pH_of_carbomer(1) < 3.0);
}

TEST_CASE("polyacrylic acid is hardly dissociated below pH 3 and wholly above pH 9") {
  // "Interaction between α-Alumina Surface and Polyacrylic Acid", abstract (authors and journal not
  // shown on the page read): "close to 0% at pH below 3 and 100% at pH above 9".
  for (const double ionic_strength : {0.001, 0.01, 0.1}) {
    CHECK(at(3, ionic_strength).ionised < 0.05);
    CHECK(at(9, ionic_strength).ionised > 0.95);
  }
}

TEST_CASE("an eyelash gel lands within half a unit of the pH on its formula sheet") {
  // Published trade formula sheet (name withheld): acrylates/C10-30 alkyl acrylate crosspolymer 0.3 %,
  // triethanolamine 0.25 %, water 82.65 %, adjusted to pH 6.5 to 7.0. USP 29, monograph Carbomer 1342:
  // 52.0 to 62.0 percent of carboxylic acid groups (45.02 g/mol).
  const auto gel = [](double percent_acid) {
    return Gel{3 * percent_acid / 100 / 45.02 / 0.8265, 0, 0, 2.5 / 149.19 / 0.8265}.pH();
  };
  MESSAGE("pH " << gel(62) << " to " << gel(52) << ", sheet 6.5 to 7.0");
  CHECK(gel(57) > 6.0);
  CHECK(gel(57) < 7.5);
}

TEST_CASE("a network dissociates by a few per cent before base is added") {
  // Abstract on cross-linked acrylic acid networks in water and 1 M sodium chloride, by the group of Kim
  // et al., Soft Matter (2026) (title not shown on the page read): "a very small dissociation degree
  // (α = 0-4%) before adding a strong base".
  for (const double percent : {0.1, 0.5, 1.0, 5.0})
    CHECK(std::pow(10, -pH_of_carbomer(percent)) / carbomer_sites(percent) <= 0.04);
}

TEST_CASE("the effective charge of sodium polyacrylate is a tenth to a fifth of its units") {
  // Pochard et al., Colloid Polym. Sci. 279, 850 (2001), abstract: "only 10-20% of the total number of
  // monomer units for pH within 6 and 9 and ionic strength below 0.1 M", from osmotic pressure, which
  // shows half of the free charge (Manning, J. Chem. Phys. 51, 924, 1969; from memory).
  for (const double pH : {7.0, 8.0, 9.0})
    for (const double ionic_strength : {0.005, 0.02, 0.09}) {
      const PolymerState state = at(pH, ionic_strength);
      CHECK(0.5 * (state.ionised - state.bound) >= 0.10);
      CHECK(0.5 * (state.ionised - state.bound) <= 0.20);
    }
}

TEST_CASE("a fully ionised chain keeps the free counter-ions of the limiting law, one over ξ") {
  // Manning, J. Chem. Phys. 51, 924 (1969; from memory).
  const double xi = 2 * water.debye_huckel_A * ln10 / (water.debye_huckel_B * 2.52);
  CHECK(xi == doctest::Approx(2.84).epsilon(0.005));
  for (const double ionic_strength : {0.001, 0.01, 0.1})
    CHECK(at(13, ionic_strength).free_counterions() == doctest::Approx(1 / xi).epsilon(0.03));
}

TEST_CASE("the apparent pK rises with ionisation, steeply until counter-ions are bound") {
  // J. Chem. Soc. Faraday Trans. 1 76, 1287 (1980), abstract: "apparent increase in pKa with increasing
  // α"; the enthalpy levels off "around α = 0.3", where condensation sets in.
  for (const double ionic_strength : {0.001, 0.01, 0.1}) {
    const double low = apparent_pK_at(0.05, ionic_strength);
    const double knee = apparent_pK_at(0.35, ionic_strength);
    const double high = apparent_pK_at(0.95, ionic_strength);
    CHECK(knee > low);
    CHECK(high > knee);
    CHECK((knee - low) / 0.3 > 2 * (high - knee) / 0.6);
  }
}

TEST_CASE("salt lowers the apparent pK at every ionisation") {
  // Kim et al., Soft Matter (2026), doi 10.1039/d5sm01024a, abstract: "lower pKa values with increasing
  // external salt concentrations", 0 to 1 M sodium chloride.
  for (const double ionised : {0.05, 0.2, 0.5, 0.8, 0.95}) {
    double before = apparent_pK_at(ionised, 1e-4);
    for (const double ionic_strength : {1e-3, 0.01, 0.1, 0.3, 1.0}) {
      const double now = apparent_pK_at(ionised, ionic_strength);
      CHECK(now < before);
      before = now;
    }
  }
}

TEST_CASE("remembered figures are shown and judge nothing") {
  for (const auto& [ionised, remembered] : std::initializer_list<std::pair<double, double>>{
           {0.1, 5.0}, {0.3, 5.7}, {0.5, 6.2}, {0.7, 6.6}, {0.9, 7.0}})
    MESSAGE("apparent pK at " << ionised << ", I = 0.01: " << apparent_pK_at(ionised, 0.01)
                              << ", remembered " << remembered);
  MESSAGE("at 0.5 in 0.1 mol/L salt: " << apparent_pK_at(0.5, 0.1) << ", remembered 5.5");
  for (const auto& [pH, remembered] : std::initializer_list<std::pair<double, double>>{
           {5, 4.5}, {6, 8.0}, {7, 10.8}, {7.5, 11.5}})
    MESSAGE("0.5 % carbomer to pH " << pH << ": "
                                    << share_neutralised(0.5, pH) * carbomer_meq_per_g
                                    << " meq/g, remembered " << remembered);
}

TEST_CASE("the slopes are those of differences") {
  const double d = 1e-5;
  for (double x = -32; x <= 0; x += 0.37)
    for (const double u : {0.003, 0.02, 0.1, 0.3, 0.7, 1.5, 4.0}) {
      const auto state = [&](double dx, double du) {
        return ionisation(polyacrylic_acid, x + dx, u + du, water);
      };
      const PolymerState s = state(0, 0), left = state(-d, 0), right = state(d, 0);
      const double du = d * u;
      const PolymerState less = state(0, -du), more = state(0, du);
      CHECK(std::abs(s.ionised_by_x - (right.ionised - left.ionised) / (2 * d)) < 1e-8);
      CHECK(std::abs(s.bound_by_x - (right.bound - left.bound) / (2 * d)) < 1e-8);
      CHECK(std::abs(u * (s.ionised_by_u - (more.ionised - less.ionised) / (2 * du))) < 1e-8);
      CHECK(std::abs(u * (s.bound_by_u - (more.bound - less.bound) / (2 * du))) < 1e-8);
    }
}

TEST_CASE("the share is exact: the two conditions hold to rounding") {
  for (double x = -40; x <= 5; x += 0.41)
    for (const double u : {0.0, 1e-3, 0.03, 0.2, 1.0, 6.0}) {
      const PolymerState s = ionisation(polyacrylic_acid, x, u, water);
      const SiteScreening salt(polyacrylic_acid, u, water);
      const double ionised = logistic(-ln10 * 4.5 - x - salt.ln_gamma - s.potential);
      CHECK(std::abs(s.ionised - ionised) <= 1e-14);
      CHECK(std::abs(s.potential / salt.repulsion + s.bound - s.ionised) <= 1e-14);
    }
}

TEST_CASE("whatever the pH and salt the state is finite, in bounds and rises with pH") {
  for (const double spacing : {1.0, 2.52, 5.0, 7.3, 20.0})
    for (const double u : {0.0, 1e-9, 1e-4, 0.1, 1.0, 6.0, 1e3, 1e6}) {
      const AcidPolymer polymer{4.5, spacing, 4.5};
      double before = 1;
      for (double x = -60; x <= 60; x += 0.5) {
        const PolymerState s = ionisation(polymer, x, u, water);
        for (const double value : {s.ionised_by_u, s.bound_by_x, s.bound_by_u, s.potential})
          CHECK(std::isfinite(value));
        CHECK(s.ionised > 0);
        CHECK(s.ionised <= before);
        CHECK(s.ionised_by_x <= 0);
        CHECK(s.bound >= 0);
        CHECK(s.bound <= s.ionised);
        before = s.ionised;
      }
    }
}

TEST_CASE("sites far apart are a simple acid") {
  const AcidPolymer sparse{4.5, 1000, 0};
  for (const double pH : {2.0, 4.5, 7.0})
    CHECK(at(pH, 0.1, sparse).ionised ==
          doctest::Approx(1 / (1 + std::pow(10, 4.5 - pH - 0.5108 * std::sqrt(0.1)))).epsilon(1e-6));
  CHECK(at(7, 0.1, sparse).bound == 0);
}

TEST_CASE("at low ionisation the first charges meet no others") {
  const PolymerState s = at(0, 0.01);
  CHECK(s.free_counterions() == doctest::Approx(1).epsilon(1e-4));
  CHECK(apparent_pK(polyacrylic_acid, s, 0.1, water) == doctest::Approx(4.5 - 0.0445).epsilon(1e-3));
}

TEST_CASE("base and neutralised share agree: near neutral all base sits on the polymer") {
  for (const double pH : {5.0, 6.0, 7.0, 7.5}) {
    const double share = share_neutralised(0.5, pH);
    const double sites = carbomer_sites(0.5);
    CHECK(Gel{sites, share * sites}.pH() == doctest::Approx(pH).epsilon(1e-9));
    MESSAGE("0.5 % carbomer, pH " << pH << ": " << share * carbomer_meq_per_g * 0.04
                                  << " g of sodium hydroxide per g, " << 100 * share
                                  << " % neutralised");
  }
}

TEST_CASE("a dose for a dispersion that the additive only makes more acid is refused, not a failure") {
  const std::vector<Amount> gel{{polyacrylic_acid, mol_per_kg(0.066)}};
  const Solution solution(gel);
  const Additive acid{{{Protolyte(0, {{3.1}, {4.8}, {6.4}}), mol_per_kg(1)}}};
  CHECK_FALSE(dose_for(solution, acid, pH(7)).amount);
  const Additive lye{{{StrongIon{"sodium", 1}, mol_per_kg(1)}}};
  const auto dose = dose_for(solution, lye, pH(7));
  REQUIRE(dose.amount);
  std::vector<Amount> after = gel;
  after.push_back({StrongIon{"sodium", 1}, mol_per_kg(*dose.amount)});
  CHECK(std::abs(Solution(after).ph().value() - 7) <= 1e-9);
}
