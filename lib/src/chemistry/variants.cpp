// SPDX-License-Identifier: MIT
#include <counterion/chemistry/variants.hpp>

#include <fmt/format.h>

#include <array>
#include <limits>

#include "lanes.hpp"

namespace counterion {

using chemistry::Column;
using chemistry::LaneEnd;
using chemistry::LaneProblem;

namespace {

bool is_molality(double value) { return value >= 0 && value <= chemistry::most_molality; }

void require_length(std::size_t found, std::size_t expected, std::string_view what) {
  if (found != expected)
    throw BadInput({{{}, fmt::format("{} of {} numbers", what, found),
                     fmt::format("{}, one for each variant", expected), {}}});
}

std::size_t steps_of(const Amount& amount) {
  if (const auto* protolyte = std::get_if<Protolyte>(&amount.what)) return protolyte->steps().size();
  return std::holds_alternative<AcidPolymer>(amount.what) ? 1 : 0;
}

}  // namespace

Variants& Variants::molality(std::size_t position, std::span<const double> mol_per_kg) {
  if (position >= pattern_.amounts().size())
    throw std::out_of_range("there is no such component in the pattern");
  require_length(mol_per_kg.size(), count_, fmt::format("a column of molalities of component {}", position));
  molality_[position] = mol_per_kg;
  return *this;
}

Variants& Variants::pK(std::size_t position, std::size_t step, std::span<const double> values) {
  if (position >= pattern_.amounts().size() || step >= steps_of(pattern_.amounts()[position]))
    throw std::out_of_range("there is no such pK in the pattern");
  require_length(values.size(), count_, fmt::format("a column of pK of component {}", position));
  pK_[{position, step}] = values;
  return *this;
}

Variants& Variants::strong_charge(std::span<const double> mol_per_kg) {
  require_length(mol_per_kg.size(), count_, "a column of strong charges");
  strong_charge_ = mol_per_kg;
  return *this;
}

Variants Variants::part(std::size_t first, std::size_t count) const {
  if (first > count_ || count > count_ - first) throw std::out_of_range("there are not so many variants");
  Variants some = *this;
  some.count_ = count;
  for (auto& [position, column] : some.molality_) column = column.subspan(first, count);
  for (auto& [step, column] : some.pK_) column = column.subspan(first, count);
  if (some.strong_charge_) some.strong_charge_ = some.strong_charge_->subspan(first, count);
  return some;
}

/// The pattern as columns, those that vary put in.
class VariantColumns {
 public:
  VariantColumns(const Variants& variants, const chemistry::ModelChoice& choice)
      : variants_(variants), problem_(lane_problem(variants.pattern().mixture(), choice)) {
    const Solution& pattern = variants.pattern();
    problem_.ions.clear();  // the mixture's leave out those of no amount
    std::size_t ladders = 0, polymers = 0;
    for (std::size_t i = 0; i < pattern.amounts().size(); ++i) {
      const Amount& amount = pattern.amounts()[i];
      if (const auto* protolyte = std::get_if<Protolyte>(&amount.what))
        vary(problem_.ladders[ladders++], i, *protolyte);
      else if (std::holds_alternative<AcidPolymer>(amount.what))
        vary(problem_.polymers[polymers++], i);
      else
        add_ion(i, amount);
    }
    problem_.strong_charge = {in_mol_per_kg(pattern.strong_charge())};
    if (variants.strong_charge_) problem_.strong_charge.values = variants.strong_charge_->data();
    problem_.start_h = std::pow(10.0, -pattern.ph().value());
    problem_.start_u = std::sqrt(in_mol_per_kg(pattern.ionic_strength()));
  }
  const LaneProblem& problem() const { return problem_; }

 private:
  const double* molalities(std::size_t position) const {
    const auto found = variants_.molality_.find(position);
    return found == variants_.molality_.end() ? nullptr : found->second.data();
  }
  const double* pK(std::size_t position, std::size_t step) const {
    const auto found = variants_.pK_.find({position, step});
    return found == variants_.pK_.end() ? nullptr : found->second.data();
  }
  void vary(chemistry::LaneLadder& ladder, std::size_t position, const Protolyte& protolyte) const {
    ladder.molality.values = molalities(position);
    for (std::size_t step = 0; step < ladder.K.size(); ++step) {
      ladder.K[step].pK = pK(position, step);
      ladder.K[step].same_pK = protolyte.steps()[step].pK;
    }
  }
  void vary(chemistry::LanePolymer& polymer, std::size_t position) const {
    polymer.molality.values = molalities(position);
    polymer.pK0.values = pK(position, 0);
  }
  void add_ion(std::size_t position, const Amount& amount) {
    const Column molality{in_mol_per_kg(amount.molality), molalities(position)};
    problem_.ions.push_back({std::get<StrongIon>(amount.what).charge, molality});
  }

  const Variants& variants_;
  LaneProblem problem_;
};

namespace {

/// One variant after the other, by the solver of single solutions.
class SingleSolver {
 public:
  SingleSolver(const Solution& pattern, const LaneProblem& columns, const chemistry::ModelChoice& choice)
      : pattern_(pattern), columns_(columns), choice_(choice), mixture_(pattern.mixture()) {}

  /// The root of a variant; empty where its numbers are bad.
  std::optional<chemistry::Root> root_of(std::size_t variant) {
    if (!take_ladders(variant) || !take_polymers(variant) || !take_ions(variant)) return std::nullopt;
    try {
      const auto root = chemistry::with_model(choice_, [this](const auto& model) {
        return chemistry::settle(mixture_, choice_.water, model).root;
      });
      if (root.u * root.u > chemistry::most_ionic_strength && has_held()) return std::nullopt;
      return root;
    } catch (const BadInput&) {  // interactions that do not settle
      return std::nullopt;
    }
  }

 private:
  bool take_ladders(std::size_t variant) {
    for (std::size_t i = 0; i < columns_.ladders.size(); ++i) {
      const auto& from = columns_.ladders[i];
      auto& part = mixture_.protolytes[i];
      part.molality = from.molality.at(variant);
      if (!is_molality(part.molality)) return false;
      for (std::size_t step = 0; step < from.K.size(); ++step) {
        if (from.K[step].pK == nullptr) continue;
        const double pK = from.K[step].pK[variant];
        if (!(std::abs(pK) <= chemistry::most_pK)) return false;
        part.ladder.K[step] = from.K[step].same * std::pow(10.0, from.K[step].same_pK - pK);
      }
    }
    return true;
  }
  bool take_polymers(std::size_t variant) {
    for (std::size_t i = 0; i < columns_.polymers.size(); ++i) {
      auto& part = mixture_.polymers[i];
      part.molality = columns_.polymers[i].molality.at(variant);
      part.polymer.pK0 = columns_.polymers[i].pK0.at(variant);
      if (!is_molality(part.molality) || !(std::abs(part.polymer.pK0) <= chemistry::most_pK)) return false;
    }
    return true;
  }
  bool take_ions(std::size_t variant) {
    mixture_.ions.clear();
    mixture_.strong_charge = mixture_.strong_ionic = mixture_.inert_solutes = 0;
    std::size_t next = 0;
    for (const auto& amount : pattern_.amounts()) {
      const auto* ion = std::get_if<StrongIon>(&amount.what);
      if (ion == nullptr) continue;
      const double molality = columns_.ions[next++].molality.at(variant);
      if (!is_molality(molality)) return false;
      mixture_.add_ion(ion->charge, molality, ion->name);
    }
    const double strong = columns_.strong_charge.at(variant);
    if (!(std::abs(strong) <= chemistry::most_molality)) return false;
    mixture_.add_strong_charge(strong);
    return true;
  }
  bool has_held() const {
    return std::any_of(mixture_.protolytes.begin(), mixture_.protolytes.end(),
                       [](const auto& part) { return part.neutral.held; });
  }

  const Solution& pattern_;
  const LaneProblem& columns_;
  const chemistry::ModelChoice& choice_;
  chemistry::Mixture mixture_;
};

/// Where the caller wants results.
struct Results {
  std::span<double> ph, ionic_strength;
  std::span<Status> status;

  void put(std::size_t variant, const std::optional<chemistry::Root>& root) const {
    constexpr double none = std::numeric_limits<double>::quiet_NaN();
    ph[variant] = root ? -root->x / chemistry::ln10 : none;
    if (!ionic_strength.empty()) ionic_strength[variant] = root ? root->u * root->u : none;
    put_status(variant, root ? Status::solved : Status::bad_input);
  }
  void put_status(std::size_t variant, Status how) const {
    if (!status.empty()) status[variant] = how;
  }
};

/// Runs a kernel over blocks, and alone what it leaves.
void solve_in_blocks(const chemistry::LaneKernel& kernel, const LaneProblem& problem, SingleSolver& single,
                     const Results& results) {
  constexpr std::size_t block = 512;
  std::array<LaneEnd, block> end;
  const std::size_t count = results.ph.size();
  for (std::size_t start = 0; start < count; start += block) {
    const std::size_t size = std::min(block, count - start);
    const std::size_t first = size < kernel.width ? count - kernel.width : start;
    const std::size_t last = start + size;
    kernel.solve(problem, first, last - first,
                 {&results.ph[first], results.ionic_strength.empty() ? nullptr : &results.ionic_strength[first],
                  end.data()});
    for (std::size_t i = first; i < last; ++i) {
      if (end[i - first] == LaneEnd::careful) results.put(i, single.root_of(i));
      else results.put_status(i, end[i - first] == LaneEnd::solved ? Status::solved : Status::bad_input);
    }
  }
}

}  // namespace

namespace chemistry {

void solve_many_with(const LaneKernel* kernel, const Variants& variants, std::span<double> ph,
                     std::span<double> ionic_strength, std::span<Status> status) {
  const std::size_t count = variants.count();
  require_length(ph.size(), count, "room for pH");
  if (!ionic_strength.empty()) require_length(ionic_strength.size(), count, "room for ionic strengths");
  if (!status.empty()) require_length(status.size(), count, "room for how each ended");
  const ModelChoice choice = model_choice(variants.pattern().conditions());
  const VariantColumns columns(variants, choice);
  const Results results{ph, ionic_strength, status};
  SingleSolver single(variants.pattern(), columns.problem(), choice);
  const bool fit = are_fit_for_lanes(choice, {&variants.pattern().mixture()});
  if (kernel != nullptr && fit && count >= kernel->width)
    solve_in_blocks(*kernel, columns.problem(), single, results);
  else
    for (std::size_t i = 0; i < count; ++i) results.put(i, single.root_of(i));
}

}  // namespace chemistry

void solve_many(const Variants& variants, std::span<double> ph, std::span<double> ionic_strength,
                std::span<Status> status) {
  chemistry::solve_many_with(chemistry::fastest_kernel(), variants, ph, ionic_strength, status);
}

std::string_view lanes_in_use() {
  const auto* kernel = chemistry::fastest_kernel();
  return kernel == nullptr ? "none" : kernel->name;
}

}  // namespace counterion
