// SPDX-License-Identifier: MIT
#include "small_tables.hpp"

#include <doctest/doctest.h>

#include <algorithm>

namespace counterion::test {

SmallTables::SmallTables()
    : texts_{
          {"sources",
           "key,kind,citation,date_seen\n"
           "book,handbook,\"A handbook, third edition\",2026-11-25\n"
           "habit,common-practice,Bench habit,\n"},
          {"ingredients",
           "id,inci,cas,functions,phase,use_min_percent,use_max_percent,source,locator,as_printed,"
           "reliability,note\n"
           "citric-acid,Citric Acid,77-92-9,acid;adjuster,water,0.1,2,habit,,,common-practice,\n"
           "citric-acid-monohydrate,Citric Acid,5949-29-1,acid,water,,,habit,,,common-practice,\n"
           "glycerin,Glycerin,56-81-5,humectant,water,1,10,habit,,,common-practice,\n"
           "lactic-acid-80,Lactic Acid,50-21-5,acid,water,,,habit,,,common-practice,\n"
           "lactic-acid-90,Lactic Acid,50-21-5,acid,water,,,habit,,,common-practice,\n"
           "niacinamide,Niacinamide,98-92-0,active,water,,,habit,,,common-practice,\n"
           "polysorbate-20,Polysorbate 20,9005-64-5,solubiliser,water,,,habit,,,common-practice,\n"
           "sodium-benzoate,Sodium "
           "Benzoate,532-32-1,preservative,water,,,habit,,,common-practice,\n"
           "water,Aqua,7732-18-5,solvent,water,,,habit,,,common-practice,\n"
           "xanthan-gum,Xanthan Gum,11138-66-2,thickener,water,,,habit,,,common-practice,\n"},
          {"names",
           "name,ingredient,rank,source\n"
           "E330,citric-acid,1,habit\n"
           "glycerol,glycerin,1,habit\n"
           "lactic acid,lactic-acid-80,1,habit\n"
           "vitamin B3,niacinamide,1,habit\n"
           "eau,water,1,habit\n"
           "Wasser,water,1,habit\n"
           "purified water,water,1,habit\n"},
          {"classes",
           "class,ingredient,source\n"
           "acid-preservative,sodium-benzoate,habit\n"
           "alpha-hydroxy-acid,citric-acid,habit\n"
           "alpha-hydroxy-acid,lactic-acid-80,habit\n"},
          {"substances",
           "id,name,kind,molar_mass_g_per_mol,charge,source,locator,as_printed,reliability,note\n"
           "benzoic-acid,benzoic acid,protolyte,122.12,0,habit,,,computed,\n"
           "citric-acid,citric acid,protolyte,192.12,0,habit,,,computed,\n"
           "sodium,sodium ion,ion,22.99,1,habit,,,computed,\n"
           "sodium-benzoate,sodium benzoate,compound,144.10,0,habit,,,computed,\n"},
          {"constants",
           "substance,quantity,step,partner,value,unit,uncertainty,dH_kJ_per_mol,dCp_J_per_mol_K,"
           "temperature_celsius,ionic_strength_mol_per_kg,rank,rank_reason,source,locator,as_"
           "printed,reliability,note\n"
           "benzoic-acid,pK,1,,4.2,,0.01,0.4,,25,0,1,,book,p. 1,4.20,looked-up,\n"
           "citric-acid,pK,1,,3.13,,0.01,,,25,0,1,,book,p. 1,3.13,looked-up,\n"
           "citric-acid,pK,2,,4.76,,0.01,,,25,0,1,,book,p. 1,4.76,looked-up,\n"
           "citric-acid,pK,3,,6.40,,0.01,,,25,0,1,,book,p. 1,6.40,looked-up,\n"
           "sodium-benzoate,dissociates-into,,benzoic-acid,1,mol_per_mol,,,,,,1,,habit,,,computed,"
           "\n"
           "sodium-benzoate,dissociates-into,,sodium,1,mol_per_mol,,,,,,1,,habit,,,computed,\n"},
          {"composition",
           "ingredient,component,mass_fraction,uncertainty,source,locator,as_printed,reliability,"
           "note\n"
           "citric-acid,citric-acid,1,0.005,habit,,,common-practice,\n"
           "citric-acid-monohydrate,citric-acid,0.9143,0.005,habit,,,computed,\n"
           "citric-acid-monohydrate,water,0.0857,0.005,habit,,,computed,\n"
           "glycerin,inert,1,,habit,,,common-practice,\n"
           "lactic-acid-80,inert,0.8,0.02,habit,,,common-practice,\n"
           "lactic-acid-80,water,0.2,0.02,habit,,,common-practice,\n"
           "lactic-acid-90,inert,0.9,0.02,habit,,,common-practice,\n"
           "lactic-acid-90,water,0.1,0.02,habit,,,common-practice,\n"
           "niacinamide,inert,1,,habit,,,common-practice,\n"
           "polysorbate-20,inert,1,,habit,,,common-practice,\n"
           "sodium-benzoate,sodium-benzoate,1,,habit,,,common-practice,\n"
           "water,water,1,,habit,,,common-practice,\n"
           "xanthan-gum,inert,1,,habit,,,common-practice,\n"},
          {"ranges",
           "subject,kind,minimum,ideal_low,ideal_high,maximum,at_percent,condition,why,rank,rank_"
           "reason,"
           "source,locator,as_printed,reliability,note\n"
           "niacinamide,stability,3,5,7,8,,,it turns into nicotinic acid,1,newer,book,p. "
           "2,3-8,looked-up,\n"
           "niacinamide,stability,4,,,7,,,it turns into nicotinic "
           "acid,2,older,habit,,,common-practice,\n"
           "product:any,skin,3.5,,,8,,,skin,1,,habit,,,common-practice,\n"},
          {"levels",
           "subject,kind,value,upper_value,unit,market,product,expressed_as,condition,rank,rank_"
           "reason,"
           "source,locator,as_printed,reliability,note\n"
           "acid-preservative,residual-charge,-0.01,0.01,meq_per_g,,,,,1,,habit,,,assumption,\n"
           "sodium-benzoate,legal-maximum,0.5,,percent,EU,leave-on,benzoic-acid,entry 1,1,,book,p. "
           "3,0.5 %,looked-up,\n"
           "unlisted,residual-charge,-0.1,0.1,meq_per_g,,,,,1,,habit,,,assumption,\n"},
          {"cautions",
           "id,a,b,minimum_pH,maximum_pH,a_minimum_percent,a_maximum_percent,product,severity,what_"
           "happens,"
           "what_to_do,source,locator,as_printed,reliability,note\n"
           "C001,acid-preservative,,6,,,,,caution,It works poorly.,Lower the "
           "pH.,habit,,,common-practice,\n"},
          {"changes",
           "id,reactant,product,acid_base_effect,quantity,value,unit,minimum_pH,maximum_pH,"
           "temperature_celsius,"
           "activation_energy_kJ_per_mol,watch_for,source,locator,as_printed,reliability,note\n"
           "K001,niacinamide,nicotinic-acid,acid-appears,,,,,,,,The pH may "
           "fall.,habit,,,common-practice,\n"},
          {"mishaps",
           "id,kind,prior_weight,how_it_shows,cheapest_check,check,check_minutes,source,"
           "locator,as_printed,reliability,note\n"
           "left-out,weighing,1,The pH is off.,Look at the sheet.,batch-sheet,3,habit,,,assumption,\n"},
          {"titrations",
           "ingredient,at_percent,added_meq_per_g,pH,source,locator,as_printed,reliability,note\n"
           "xanthan-gum,1,0.2,7.5,habit,,,memory,\n"}} {}

SmallTables& SmallTables::with(const std::string& table, const std::string& line) {
  texts_.at(table) += line + "\n";
  return *this;
}

SmallTables& SmallTables::edited(const std::string& table, const std::string& old,
                                 const std::string& now) {
  auto& text = texts_.at(table);
  const auto at = text.find(old);
  REQUIRE(at != std::string::npos);
  text.replace(at, old.size(), now);
  return *this;
}

Tables SmallTables::load() const {
  std::vector<Tables::NamedText> texts;
  for (const auto& [name, text] : texts_) texts.push_back({name, name + ".csv", text});
  return Tables::from_texts(texts);
}

std::vector<Problem> SmallTables::problems() const {
  try {
    load();
  } catch (const BadInput& error) {
    return error.problems();
  }
  return {};
}

bool tells(const std::vector<Problem>& problems, const std::string& file, std::size_t line,
           std::size_t column, const std::string& words) {
  const bool told = std::ranges::any_of(problems, [&](const Problem& problem) {
    return problem.place == Place{file, line, column} &&
           describe(problem).find(words) != std::string::npos;
  });
  if (!told) {
    for (const auto& problem : problems) MESSAGE(describe(problem));
  }
  return told;
}

}  // namespace counterion::test
