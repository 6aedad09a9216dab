#include "size/fittings.h"

#include "physics/joint.h"
#include "size/requirements.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stoutloom::size {
namespace {

std::vector<std::size_t> ends_on(const model::Harness& harness, model::TerminalIndex terminal) {
    std::vector<std::size_t> ends;
    for (std::size_t e = 0; e < 2 * harness.cables.size(); ++e)
        if (end_at(harness, e).at == terminal)
            ends.push_back(e);
    return ends;
}

bool has_lug(const model::Harness& harness, double section_mm2, const std::vector<base::Fastener>& lugs) {
    return std::any_of(lugs.begin(), lugs.end(),
                       [&](const base::Fastener& lug) { return lug_in_stock(harness, section_mm2, lug); });
}

/// Sections that the cable of an end may come to have.
std::vector<double> sections_at(const model::Harness& harness, std::size_t end, const Automatic& automatic) {
    const auto cable = static_cast<model::CableIndex>(end / 2);
    if (std::find(automatic.cables.begin(), automatic.cables.end(), cable) == automatic.cables.end())
        return {harness.cable(cable).section_mm2.value};
    std::vector<double> sections;
    for (const StockSection& section : sections_of(harness))
        sections.push_back(section.section_mm2);
    return sections;
}

/// Why a stud cannot take what is to go on it; empty if it can.
std::string stud_trouble(const model::Harness& harness, model::TerminalIndex terminal,
                         const base::Fastener& stud, const Automatic& automatic) {
    for (const std::size_t e : ends_on(harness, terminal)) {
        const model::CableEnd& end = end_at(harness, e);
        const std::string& id = harness.cables[e / 2].id;
        if (end.lug_given && !base::is_to_choose(end.lug)) {
            if (!base::matches(end.lug, stud) && !accepted(harness, "lug-fit", id))
                return fmt::format("{} has a lug for {}", id, end.lug.name);
            continue;
        }
        const std::vector<base::Fastener> lugs =
            end.lug_given ? lugs_for(harness, stud) : std::vector<base::Fastener>{stud};
        const std::vector<double> sections = sections_at(harness, e, automatic);
        if (std::none_of(sections.begin(), sections.end(),
                         [&](double section_mm2) { return has_lug(harness, section_mm2, lugs); }))
            return fmt::format("no {} lug for {} in stock", stud.name, id);
    }
    return {};
}

base::Fastener fastener_of(const Option& option) {
    return base::fastener_by_name(option.text).value_or(base::Fastener{});
}

/// The choice that decides the size of an end's lug.
std::optional<std::size_t> size_choice(const model::Harness& harness, const EndChoices& one) {
    if (one.lug)
        return one.lug;
    return end_at(harness, one.end).lug_given ? std::nullopt : one.stud;
}

Row apart(std::size_t one, std::vector<double> amounts, std::size_t other, std::size_t options,
          std::size_t option, std::string why) {
    Row row{.terms = {{one, std::move(amounts)}, {other, std::vector<double>(options, 0.0)}},
            .limit = 1,
            .why = std::move(why)};
    row.terms[1].amount[option] = 1;
    return row;
}

/// Price of the lugs of one end, in the unit of costs; nothing: not listed, or without a price.
std::optional<std::int64_t> lug_price(const model::Harness& harness, std::size_t end, double section_mm2,
                                      const base::Fastener& lug) {
    if (lug.kind != base::FastenerKind::stud)
        return 0; // clamps, receptacles and splices are not in the list of lugs
    const model::StockLug* listed = listed_lug(harness, section_mm2, lug);
    if (listed == nullptr || !listed->ordering.price)
        return std::nullopt;
    const int runs = harness.cables[end / 2].parallel;
    return std::llround(*listed->ordering.price * 100 * runs) * cost_scale;
}

/// Lug prices, or nothing where one is missing.
class LugPrices {
  public:
    LugPrices(const model::Harness& harness, const Choices& choices) : harness_(harness), choices_(choices) {
        for (const Choice& choice : choices.list)
            alone_.emplace_back(choice.options.size(), 0);
        for (const EndChoices& one : ends_with_choices(harness, choices))
            add(one);
    }
    bool complete() const { return missing_.empty(); }
    const std::string& missing() const { return missing_; }
    const std::vector<std::vector<std::int64_t>>& alone() const { return alone_; }
    std::vector<LugCost>& pairs() { return pairs_; }

  private:
    void add(const EndChoices& one) {
        const auto size = size_choice(harness_, one);
        const double fixed_mm2 = harness_.cables[one.end / 2].section_mm2.value;
        if (!one.section && !size)
            return;
        LugCost pair{.section = one.section.value_or(0), .size = size.value_or(0), .cost = {}};
        for (std::size_t x = 0; x < options(one.section); ++x) {
            pair.cost.emplace_back();
            for (std::size_t s = 0; s < options(size); ++s) {
                const base::Fastener lug =
                    size ? fastener_of(choices_.list[*size].options[s]) : end_at(harness_, one.end).lug;
                const double section_mm2 =
                    one.section ? choices_.list[*one.section].options[x].value : fixed_mm2;
                const bool had = lug_in_stock(harness_, section_mm2, lug);
                const auto price = lug_price(harness_, one.end, section_mm2, lug);
                if (had && !price)
                    miss(fmt::format("the stock has no price for the lug {} {}",
                                     base::shown_section(section_mm2), lug.name));
                pair.cost.back().push_back(price.value_or(0));
            }
        }
        if (one.section && size) {
            pairs_.push_back(std::move(pair));
            return;
        }
        auto& sums = alone_[one.section ? *one.section : *size];
        for (std::size_t o = 0; o < sums.size(); ++o)
            sums[o] += one.section ? pair.cost[o][0] : pair.cost[0][o];
    }
    void miss(std::string why) {
        if (missing_.empty())
            missing_ = std::move(why);
    }
    std::size_t options(const std::optional<std::size_t>& choice) const {
        return choice ? choices_.list[*choice].options.size() : 1;
    }

    const model::Harness& harness_;
    const Choices& choices_;
    std::string missing_; // the first that keeps lugs out of the price
    std::vector<std::vector<std::int64_t>> alone_;
    std::vector<LugCost> pairs_;
};

} // namespace

bool goes_in(const model::Harness& harness, const Option& section, const base::Fastener& lug) {
    return section.beyond_stock
               ? lug.kind != base::FastenerKind::stud || physics::lug_exists(section.value, lug)
               : lug_in_stock(harness, section.value, lug);
}

const model::CableEnd& end_at(const model::Harness& harness, std::size_t end) {
    const model::Cable& cable = harness.cables[end / 2];
    return end % 2 == 0 ? cable.from : cable.to;
}

std::vector<EndChoices> ends_with_choices(const model::Harness& harness, const Choices& choices) {
    std::vector<EndChoices> all;
    for (std::size_t e = 0; e < 2 * harness.cables.size(); ++e) {
        EndChoices one{.end = e, .section = {}, .stud = {}, .lug = {}};
        for (std::size_t i = 0; i < choices.list.size(); ++i) {
            const Choice& choice = choices.list[i];
            if (choice.kind == ChoiceKind::section && choice.index == e / 2)
                one.section = i;
            if (choice.kind == ChoiceKind::stud && choice.index == model::at(end_at(harness, e).at))
                one.stud = i;
            if (choice.kind == ChoiceKind::lug && choice.index == e)
                one.lug = i;
        }
        if (one.section || one.stud || one.lug)
            all.push_back(one);
    }
    return all;
}

base::Outcome<Choice, NoChoice> stud_choice(const model::Harness& harness, model::TerminalIndex terminal,
                                            const Automatic& automatic) {
    const std::string& address = harness.terminal(terminal).address;
    Choice choice{
        .kind = ChoiceKind::stud, .index = model::at(terminal), .id = address, .options = {}, .left_out = {}};
    if (ends_on(harness, terminal).empty())
        return base::failure(
            NoChoice{address, fmt::format("{}: nothing is bolted to it, so nothing decides the size of its "
                                          "stud",
                                          address)});
    std::int64_t step = 0;
    for (const base::Fastener& stud : studs_of(harness)) {
        if (std::string trouble = stud_trouble(harness, terminal, stud, automatic); !trouble.empty())
            choice.left_out.push_back(stud.name + ": " + trouble);
        else
            choice.options.push_back({.value = stud.diameter_m, .text = stud.name, .cost = step++});
    }
    if (!choice.options.empty())
        return choice;
    return base::failure(NoChoice{address, fmt::format("{}: no stud can take what goes on it ({} ...)",
                                                       address, choice.left_out.front())});
}

base::Outcome<Choice, NoChoice> lug_choice(const model::Harness& harness, std::size_t end,
                                           const Automatic& automatic) {
    const model::Cable& cable = harness.cables[end / 2];
    const model::Terminal& terminal = harness.terminal(end_at(harness, end).at);
    Choice choice{.kind = ChoiceKind::lug,
                  .index = end,
                  .id = fmt::format("{} at {}", cable.id, terminal.address),
                  .options = {},
                  .left_out = {}};
    const bool open = base::is_to_choose(terminal.stud);
    const bool metric = harness.units != model::UnitSystem::us;
    for (const base::Fastener& lug : open ? studs_of(harness) : lugs_for(harness, terminal.stud)) {
        const std::vector<double> sections = sections_at(harness, end, automatic);
        if (std::none_of(sections.begin(), sections.end(),
                         [&](double section_mm2) { return lug_in_stock(harness, section_mm2, lug); })) {
            choice.left_out.push_back(fmt::format("{}: not for {} in stock", lug.name, cable.id));
            continue;
        }
        // The stud's own size before its pair in the other system; on a stud to be chosen the kit's system.
        const bool own = open ? lug.name.starts_with("M") == metric : lug.name == terminal.stud.name;
        choice.options.push_back({.value = lug.diameter_m, .text = lug.name, .cost = own ? 0 : 1});
    }
    if (!choice.options.empty())
        return choice;
    return base::failure(
        NoChoice{cable.id, fmt::format("{}: no lug in stock goes on {}", choice.id, terminal.stud.name)});
}

std::vector<Row> stock_rows(const model::Harness& harness, const Choices& choices) {
    std::vector<Row> rows;
    for (const EndChoices& one : ends_with_choices(harness, choices)) {
        const std::string& id = harness.cables[one.end / 2].id;
        const auto size = size_choice(harness, one);
        if (one.section && size) {
            const std::vector<Option>& sizes = choices.list[*size].options;
            for (std::size_t s = 0; s < sizes.size(); ++s) {
                std::vector<double> lacking;
                for (const Option& section : choices.list[*one.section].options)
                    lacking.push_back(goes_in(harness, section, fastener_of(sizes[s])) ? 0 : 1);
                if (std::find(lacking.begin(), lacking.end(), 1) != lacking.end())
                    rows.push_back(apart(*one.section, std::move(lacking), *size, sizes.size(), s,
                                         "lugs in stock " + id));
            }
        }
        if (one.lug && one.stud) {
            const std::vector<Option>& studs = choices.list[*one.stud].options;
            for (std::size_t t = 0; t < studs.size(); ++t) {
                std::vector<double> unfit;
                for (const Option& lug : choices.list[*one.lug].options)
                    unfit.push_back(base::matches(fastener_of(lug), fastener_of(studs[t])) ? 0 : 1);
                rows.push_back(
                    apart(*one.lug, std::move(unfit), *one.stud, studs.size(), t, "lugs in stock " + id));
            }
        }
    }
    return rows;
}

std::string stock_trouble(const model::Harness& harness, const Choices& choices, const Assignment& assignment,
                          std::size_t about) {
    for (const EndChoices& one : ends_with_choices(harness, choices)) {
        if (one.section != about && one.stud != about && one.lug != about)
            continue;
        const auto chosen = [&](std::size_t choice) -> const Option& {
            return choices.list[choice].options[assignment[choice]];
        };
        const auto size = size_choice(harness, one);
        const std::string& id = harness.cables[one.end / 2].id;
        if (one.section && size && !goes_in(harness, chosen(*one.section), fastener_of(chosen(*size))))
            return fmt::format("{} at {}: no {} lug for {} in stock", id,
                               harness.terminal(end_at(harness, one.end).at).address, chosen(*size).text,
                               chosen(*one.section).text);
        if (one.lug && one.stud &&
            !base::matches(fastener_of(chosen(*one.lug)), fastener_of(chosen(*one.stud))))
            return fmt::format("{}: a lug for {} does not belong on {}", id, chosen(*one.lug).text,
                               chosen(*one.stud).text);
    }
    return {};
}

std::vector<LugCost> price_lugs(const model::Harness& harness, Choices& choices) {
    if (!choices.by_price || harness.stock.lugs.empty())
        return {};
    LugPrices prices(harness, choices);
    choices.lugs_priced = prices.complete();
    choices.lugs_unpriced = prices.missing();
    if (!choices.lugs_priced)
        return {};
    for (std::size_t c = 0; c < choices.list.size(); ++c)
        for (std::size_t o = 0; o < choices.list[c].options.size(); ++o)
            choices.list[c].options[o].cost += prices.alone()[c][o];
    return std::move(prices.pairs());
}

std::vector<LugCost> lug_costs(const model::Harness& harness, const Choices& choices) {
    if (!choices.lugs_priced)
        return {};
    return std::move(LugPrices(harness, choices).pairs());
}

std::int64_t cost_of(const model::Harness& harness, const Choices& choices, const Assignment& assignment) {
    std::int64_t cost = cost_of(choices.variables(), assignment);
    for (const LugCost& lug : lug_costs(harness, choices))
        cost += lug.cost[assignment[lug.section]][assignment[lug.size]];
    return cost;
}

} // namespace stoutloom::size
