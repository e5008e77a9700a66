// SPDX-License-Identifier: MIT
// Published compositions with an official pH. Recipes per volume are turned into grams with the
// densities given here; water "to volume" is what the other parts leave, a gram of solids taking up
// 0.6 mL (an approximation: it moves the pH by less than 0.01).
#include "samples.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace counterion;

namespace {

constexpr double glycerin_g_per_ml = 1.26, sorbitol_solution_g_per_ml = 1.29, ml_per_g_of_solids = 0.6;

struct Part {
  std::string ingredient;
  double grams;
  double millilitres = -1;  ///< of liquids; solids are reckoned
};

/// A recipe "to volume" as percent by weight.
std::vector<std::pair<std::string, double>> to_volume(double millilitres, const std::vector<Part>& parts) {
  double water = millilitres, total = 0;
  for (const auto& part : parts) {
    water -= part.millilitres < 0 ? ml_per_g_of_solids * part.grams : part.millilitres;
    total += part.grams;
  }
  total += water * 0.997;
  std::vector<std::pair<std::string, double>> percents;
  for (const auto& part : parts) percents.emplace_back(part.ingredient, 100 * part.grams / total);
  return percents;
}

double ph_of(double millilitres, const std::vector<Part>& parts) {
  return samples::predicted(to_volume(millilitres, parts)).ph;
}

void check_inside(double ph, double low, double high) {
  CHECK(ph >= low);
  CHECK(ph <= high);
}

}  // namespace

TEST_CASE("USP 29, Vehicle for Oral Solution, Sugar Free: pH 4.0 to 5.0") {
  // The monograph does not say which hydrate of sodium citrate: the dihydrate is assumed.
  check_inside(ph_of(100, {{"xanthan-gum", 0.05},
                           {"glycerin", 10 * glycerin_g_per_ml, 10},
                           {"sorbitol-70", 25 * sorbitol_solution_g_per_ml, 25},
                           {"saccharin-sodium", 0.1},
                           {"citric-acid-monohydrate", 1.5},
                           {"trisodium-citrate-dihydrate", 2.0},
                           {"methylparaben", 0.1},
                           {"potassium-sorbate", 0.1}}),
               4.0, 5.0);
}

TEST_CASE("USP 28, Anticoagulant Citrate Dextrose Solution, Solution B: pH 4.5 to 5.5") {
  check_inside(ph_of(1000, {{"citric-acid", 4.4},
                            {"trisodium-citrate-dihydrate", 13.2},
                            {"dextrose-monohydrate", 14.7}}),
               4.5, 5.5);
}

TEST_CASE("USP 32, Acetic Acid Irrigation: pH 2.8 to 3.4") {
  check_inside(ph_of(100, {{"acetic-acid", 0.25}}), 2.8, 3.4);
}

TEST_CASE("USP 28, Potassium Citrate and Citric Acid Oral Solution: pH 4.9 to 5.4") {
  // Far beyond the activity model's range (ionic strength about 3 mol/kg); the vehicle is taken as water.
  const auto prediction = samples::predicted(
      to_volume(100, {{"potassium-citrate-monohydrate", 22.0}, {"citric-acid-monohydrate", 6.68}}));
  CHECK_FALSE(prediction.activity_within_range);
  CHECK(prediction.p05 <= 5.4);
  CHECK(prediction.p95 >= 4.9);
}

TEST_CASE("USP 32, Sodium Phosphates Rectal Solution, pH 5.0 to 5.8, is reached by the interval only") {
  // Concentrated phosphate reads lower than simple activity models say.
  const auto prediction = samples::predicted(to_volume(
      100, {{"sodium-dihydrogen-phosphate-monohydrate", 16}, {"disodium-phosphate-heptahydrate", 6}}));
  CHECK(prediction.ph > 5.8);
  CHECK(prediction.p05 <= 5.8);
}

TEST_CASE("USP 32, Sodium Bicarbonate Injection 8.4 %, freshly made and closed: pH 7.0 to 8.5") {
  check_inside(ph_of(100, {{"sodium-bicarbonate", 8.4}}), 7.0, 8.5);
}

TEST_CASE("European Pharmacopoeia, reference buffers at 25 degrees Celsius") {
  CHECK(ph_of(1000, {{"potassium-hydrogen-phthalate", 10.21}}) == doctest::Approx(4.01).epsilon(0.006));
  CHECK(ph_of(1000, {{"potassium-dihydrogen-phosphate", 3.39}, {"disodium-phosphate", 3.53}}) ==
        doctest::Approx(6.87).epsilon(0.005));
  CHECK(ph_of(1000, {{"borax-decahydrate", 3.80}}) == doctest::Approx(9.18).epsilon(0.004));
}

TEST_CASE("2 % citric acid, mouth rinse of a clinical study, Caries Res. 30(3):213: pH 2.1") {
  CHECK(ph_of(100, {{"citric-acid", 2}}) == doctest::Approx(2.1).epsilon(0.03));
}
