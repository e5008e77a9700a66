// SPDX-License-Identifier: MIT
#include "rows.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

using namespace counterion;
using namespace counterion::chemistry;

namespace {

const Water water;  // A = 0.5108, B = 0.3287

double log10_davies(int z, double I) {
  return -0.5108 * z * z * (std::sqrt(I) / (1 + std::sqrt(I)) - 0.3 * I);
}

std::vector<Amount> trisodium_citrate(double molality) {
  return {{test::protolytes_of("constants.csv").at("citric"), mol_per_kg(molality)},
          {StrongIon{"sodium", 1}, mol_per_kg(3 * molality)}};
}

}  // namespace

TEST_CASE("Davies' coefficients are those of the printed equation up to 0.5 mol/kg") {
  for (const double I : {1e-6, 0.001, 0.01, 0.1, 0.5})
    for (const int z : {-12, -3, -1, 0, 1, 2, 12})
      CHECK(std::log10(Davies(water, std::sqrt(I), davies_limit).gamma(z, 0)) ==
            doctest::Approx(log10_davies(z, I)).epsilon(1e-12));
}

TEST_CASE(
    "at 0.1 mol/kg an ion of charge one keeps 0.78 of its activity and one of charge two 0.37") {
  const Davies gamma(water, std::sqrt(0.1), davies_limit);
  CHECK(gamma.gamma(1, 0) == doctest::Approx(0.781).epsilon(0.002));
  CHECK(gamma.gamma(-2, 0) == doctest::Approx(0.373).epsilon(0.003));
}

TEST_CASE("Davies' term is held constant beyond 0.5 mol/kg") {
  const double end = Davies(water, std::sqrt(0.5), davies_limit).gamma(-3, 0);
  for (const double I : {0.51, 1.0, 6.0, 600.0}) {
    const Davies beyond(water, std::sqrt(I), davies_limit);
    CHECK(beyond.gamma(-3, 0) == doctest::Approx(end).epsilon(1e-14));
    CHECK(beyond.slope(-3, 0) == 0);
  }
}

TEST_CASE("1 mol/kg of trisodium citrate reads 9.8, not the 11.9 of the bare equation") {
  const auto amounts = trisodium_citrate(1);
  CHECK(Solution(amounts).ph().value() == doctest::Approx(9.8).epsilon(0.01));
  Conditions bare;
  bare.davies_held_beyond = mol_per_kg(std::numeric_limits<double>::infinity());
  const double bare_pH = Solution(amounts, bare).ph().value();
  CHECK(bare_pH == doctest::Approx(11.9).epsilon(0.02));
}

TEST_CASE("the extended equation is that of Debye and Hückel with the ion's own size") {
  const double u = std::sqrt(0.05);
  const ExtendedDebyeHuckel gamma(water, u);
  CHECK(std::log10(gamma.gamma(1, 9)) ==
        doctest::Approx(-0.5108 * u / (1 + 9 * 0.3287 * u)).epsilon(1e-12));
  CHECK(std::log10(gamma.gamma(-2, 4.5)) ==
        doctest::Approx(-0.5108 * 4 * u / (1 + 4.5 * 0.3287 * u)).epsilon(1e-12));
  CHECK(gamma.gamma(0, 3) == 1);
}

TEST_CASE("steps and slopes of every model agree with its coefficients") {
  const auto agrees = [](const auto& model, double u) {
    const double d = 1e-6;
    for (const int z : {-11, -2, 0, 1, 12}) {
      const double slope =
          (std::log(model.at(u + d).gamma(z, 5)) - std::log(model.at(u - d).gamma(z, 5))) / (2 * d);
      CHECK(model.at(u).slope(z, 5) == doctest::Approx(slope).epsilon(1e-6));
      CHECK(model.at(u).step(z, 5, 4) ==
            doctest::Approx(model.at(u).gamma(z, 5) / model.at(u).gamma(z - 1, 4)).epsilon(1e-12));
    }
  };
  agrees(DaviesModel{water}, 0.3);
  agrees(ExtendedDebyeHuckelModel{water}, 0.3);
  agrees(IdealModel{}, 0.3);
}

TEST_CASE(
    "the validity says when the activity model is beyond its range, and the answer still stands") {
  const Solution dilute(trisodium_citrate(0.01)), strong(trisodium_citrate(1));
  CHECK(dilute.validity().within_range);
  CHECK(dilute.validity().reason.empty());
  CHECK_FALSE(strong.validity().within_range);
  CHECK(strong.validity().reason.find("0.5 mol/kg") != std::string::npos);
  CHECK(std::isfinite(strong.ph().value()));
}

TEST_CASE("the names of the activity models lead back to them") {
  CHECK(activity_named("davies") == Activity::davies);
  CHECK(activity_named("extended-debye-huckel") == Activity::extended_debye_huckel);
  CHECK(activity_named("ideal") == Activity::ideal);
  CHECK(activity_named("specific-ion") == Activity::specific_ion);
  CHECK(activity_named("pitzer") == std::nullopt);
  CHECK(activity_named("") == std::nullopt);
  CHECK(activity_named("Davies") == std::nullopt);
}

TEST_CASE("water's activity falls with the humectant and keeps the neutral point in step") {
  const std::vector<Amount> glycerol{{StrongIon{"glycerol", 0}, mol_per_kg(40)}};
  const Solution solution(glycerol);
  const double expected = (solution.water().pKw + std::log10(1 + 0.018015268 * 40)) / 2;
  CHECK(solution.ph().value() == doctest::Approx(expected).epsilon(1e-9));
}

// Charges up to -12 (nominal constants of the engine reference): where the ionic strength feeds
// back most.
TEST_CASE("phytic acid is titrated through all its twelve protons without a jump") {
  const auto phytic = test::protolytes_of("engine_reference_constants.csv").at("Phy");
  for (const double molality : {1e-4, 0.002, 0.02, 0.1}) {
    const std::vector<Amount> amounts{{phytic, mol_per_kg(molality)}};
    double before = Solution(amounts).ph().value();
    for (double equivalents = 0.05; equivalents < 13; equivalents += 0.05) {
      const Solution solution(amounts, {}, mol_per_kg(equivalents * molality));
      const double now = solution.ph().value();
      INFO(molality << " mol/kg, " << equivalents << " equivalents");
      CHECK(now > before);
      CHECK(now < before + 1.5);
      CHECK(solution.buffer_capacity() > 0);
      CHECK(std::abs(in_mol_per_kg(solution.strong_charge_for(pH(now)))) < 1e-9 * molality);
      before = now;
    }
  }
}
