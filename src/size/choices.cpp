#include "size/choices.h"

#include "physics/conductor.h"
#include "physics/joint.h"
#include "size/fittings.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stoutloom::size {
namespace {

base::Fastener fastener_named(const std::string& name) {
    return base::fastener_by_name(name).value_or(base::Fastener{});
}

std::int64_t copper_cost(const model::Cable& cable, double section_mm2) {
    const double kg = physics::copper_kg_per_m(section_mm2) * cable.length_m.value * cable.parallel;
    return std::llround(kg * 1e4) * cost_scale;
}

/// Why a section cannot end in this cable's lugs; empty if it can.
std::string lug_trouble(const model::Harness& harness, const model::Cable& cable, double section_mm2) {
    for (const model::CableEnd* end : {&cable.from, &cable.to}) {
        if (end->barrel_mm2 && !physics::barrel_takes(end->barrel_mm2->value, section_mm2))
            return fmt::format("its barrel is made for {}", end->barrel_mm2->text);
        if (base::is_to_choose(end->lug)) {
            const base::Fastener& stud = harness.terminal(end->at).stud;
            const std::vector<base::Fastener> lugs =
                base::is_to_choose(stud) ? studs_of(harness) : lugs_for(harness, stud);
            if (std::none_of(lugs.begin(), lugs.end(), [&](const base::Fastener& lug) {
                    return lug_in_stock(harness, section_mm2, lug);
                }))
                return "no lug for it";
        } else if (!lug_in_stock(harness, section_mm2, end->lug)) {
            return fmt::format("no {} lug for it", end->lug.name);
        }
    }
    return {};
}

base::Outcome<Choice, NoChoice> section_choice(const model::Harness& harness, model::CableIndex index) {
    const model::Cable& cable = harness.cable(index);
    Choice choice{.kind = ChoiceKind::section,
                  .index = model::at(index),
                  .id = cable.id,
                  .options = {},
                  .left_out = {}};
    for (const StockSection& section : sections_of(harness)) {
        if (std::string trouble = lug_trouble(harness, cable, section.section_mm2); !trouble.empty()) {
            choice.left_out.push_back(section.text + ": " + trouble);
            continue;
        }
        choice.options.push_back({.value = section.section_mm2,
                                  .text = section.text,
                                  .order_code = section.order_code,
                                  .cost = copper_cost(cable, section.section_mm2)});
    }
    if (!choice.options.empty())
        return choice;
    return base::failure(NoChoice{
        cable.id, fmt::format("{}: no section in stock can be used{}", cable.id,
                              choice.left_out.empty() ? "" : " (" + choice.left_out.front() + " ...)")});
}

base::Outcome<Choice, NoChoice> rating_choice(const model::Harness& harness, model::DeviceIndex index) {
    const model::Device& device = harness.device(index);
    const std::string& type = std::get<model::FuseLink>(device.data).type;
    Choice choice{.kind = ChoiceKind::rating,
                  .index = model::at(index),
                  .id = device.id,
                  .options = {},
                  .left_out = {}};
    std::int64_t step = 0;
    for (const StockRating& rating : ratings_of(harness, type))
        choice.options.push_back(
            {.value = rating.rating_a, .text = rating.text, .order_code = rating.order_code, .cost = step++});
    if (!choice.options.empty())
        return choice;
    return base::failure(
        NoChoice{device.id, fmt::format("{}: no fuse-link of type {} in stock", device.id, type)});
}

/// Prices replace copper where every option has one.
bool price_by_price(const model::Harness& harness, Choices& choices) {
    std::vector<std::vector<std::int64_t>> costs;
    for (const Choice& choice : choices.list) {
        costs.emplace_back();
        const bool cable = choice.kind == ChoiceKind::section;
        if (!cable && choice.kind != ChoiceKind::rating) {
            for (const Option& option : choice.options)
                costs.back().push_back(option.cost); // a step of size; what a lug costs is added later
            continue;
        }
        const auto cents = [](double price) { return std::llround(price * 100) * cost_scale; };
        for (std::size_t o = 0; o < choice.options.size(); ++o) {
            std::optional<double> price;
            if (cable) {
                const model::Cable& about = harness.cables[choice.index];
                for (const StockSection& section : sections_of(harness))
                    if (section.section_mm2 == choice.options[o].value && section.price_per_m)
                        price = *section.price_per_m * about.length_m.value * about.parallel;
            } else {
                const auto& about = std::get<model::FuseLink>(harness.devices[choice.index].data);
                for (const StockRating& rating : ratings_of(harness, about.type))
                    if (rating.rating_a == choice.options[o].value)
                        price = rating.price;
            }
            if (!price)
                return false;
            costs.back().push_back(cents(*price) + static_cast<std::int64_t>(cable ? 0 : o));
        }
    }
    for (std::size_t c = 0; c < costs.size(); ++c)
        for (std::size_t o = 0; o < costs[c].size(); ++o)
            choices.list[c].options[o].cost = costs[c][o];
    return std::any_of(choices.list.begin(), choices.list.end(), [](const Choice& choice) {
        return choice.kind == ChoiceKind::section || choice.kind == ChoiceKind::rating;
    });
}

} // namespace

std::vector<Variable> Choices::variables() const {
    std::vector<Variable> variables;
    for (const Choice& choice : list) {
        Variable variable{.name = choice.id, .cost = {}};
        for (const Option& option : choice.options)
            variable.cost.push_back(option.cost);
        variables.push_back(std::move(variable));
    }
    return variables;
}

Automatic marked(const model::Harness& harness) {
    Automatic automatic;
    for (std::size_t c = 0; c < harness.cables.size(); ++c)
        if (harness.cables[c].automatic)
            automatic.cables.push_back(static_cast<model::CableIndex>(c));
    for (std::size_t d = 0; d < harness.devices.size(); ++d)
        if (const auto* fuse = std::get_if<model::FuseLink>(&harness.devices[d].data);
            fuse != nullptr && fuse->automatic)
            automatic.fuse_links.push_back(static_cast<model::DeviceIndex>(d));
    for (std::size_t t = 0; t < harness.terminals.size(); ++t)
        if (base::is_to_choose(harness.terminals[t].stud))
            automatic.studs.push_back(static_cast<model::TerminalIndex>(t));
    for (std::size_t e = 0; e < 2 * harness.cables.size(); ++e)
        if (end_at(harness, e).lug_given && base::is_to_choose(end_at(harness, e).lug))
            automatic.lugs.push_back(e);
    return automatic;
}

Automatic automatic_of(const Choices& choices) {
    Automatic automatic;
    for (const Choice& choice : choices.list)
        switch (choice.kind) {
        case ChoiceKind::section:
            automatic.cables.push_back(static_cast<model::CableIndex>(choice.index));
            break;
        case ChoiceKind::rating:
            automatic.fuse_links.push_back(static_cast<model::DeviceIndex>(choice.index));
            break;
        case ChoiceKind::stud:
            automatic.studs.push_back(static_cast<model::TerminalIndex>(choice.index));
            break;
        case ChoiceKind::lug:
            automatic.lugs.push_back(choice.index);
            break;
        }
    return automatic;
}

base::Outcome<Choices, NoChoice> choices_of(const model::Harness& harness, const Automatic& automatic) {
    Choices choices;
    std::optional<NoChoice> none;
    const auto add = [&](base::Outcome<Choice, NoChoice> choice) {
        if (choice && choice->options.size() > most_options)
            choice = base::failure(NoChoice{
                choice->id, fmt::format("{}: the stock offers {} sizes for it, and {} at most are weighed; "
                                        "list fewer of this kind",
                                        choice->id, choice->options.size(), most_options)});
        if (choice)
            choices.list.push_back(std::move(*choice));
        else if (!none)
            none = choice.error();
    };
    for (const model::CableIndex cable : automatic.cables)
        add(section_choice(harness, cable));
    for (const model::DeviceIndex fuse : automatic.fuse_links)
        add(rating_choice(harness, fuse));
    for (const model::TerminalIndex stud : automatic.studs)
        add(stud_choice(harness, stud, automatic));
    for (const std::size_t lug : automatic.lugs)
        add(lug_choice(harness, lug, automatic));
    if (none)
        return base::failure(std::move(*none));
    choices.by_price = price_by_price(harness, choices);
    price_lugs(harness, choices);
    return choices;
}

model::Harness applied(const model::Harness& harness, const Choices& choices, const Assignment& assignment) {
    model::Harness made = harness;
    for (std::size_t i = 0; i < choices.list.size(); ++i) {
        const Choice& choice = choices.list[i];
        const Option& option = choice.options[assignment[i]];
        const auto end = [&](std::size_t e) -> model::CableEnd& {
            return e % 2 == 0 ? made.cables[e / 2].from : made.cables[e / 2].to;
        };
        switch (choice.kind) {
        case ChoiceKind::section: {
            model::Cable& cable = made.cables[choice.index];
            cable.automatic = false;
            cable.section_mm2.value = option.value;
            cable.section_mm2.text = option.text;
            break;
        }
        case ChoiceKind::rating: {
            auto& fuse = std::get<model::FuseLink>(made.devices[choice.index].data);
            fuse.automatic = false;
            fuse.rating_a.value = option.value;
            fuse.rating_a.text = option.text;
            break;
        }
        case ChoiceKind::stud:
            made.terminals[choice.index].stud = fastener_named(option.text);
            for (std::size_t e = 0; e < 2 * made.cables.size(); ++e)
                if (model::at(end(e).at) == choice.index && !end(e).lug_given)
                    end(e).lug = made.terminals[choice.index].stud;
            break;
        case ChoiceKind::lug:
            end(choice.index).lug = fastener_named(option.text);
            break;
        }
    }
    return made;
}

double copper_kg(const model::Cable& cable) {
    return physics::copper_kg_per_m(cable.section_mm2.value) * cable.length_m.value * cable.parallel;
}

} // namespace stoutloom::size
