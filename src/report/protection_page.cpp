#include "report/protection_page.h"

#include "check/protection.h"
#include "check/words.h"
#include "layout/papers/time_current.h"
#include "report/diagram_parts.h"
#include "report/papers/contents.h"
#include "report/papers/voice.h"
#include "report/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace stoutloom::report {
namespace {

using layout::papers::CurrentMark;
using layout::papers::TimeBand;
using layout::papers::TimeCurrentContent;

constexpr std::size_t points_per_curve = 160;

/// Links of one kind stand together: "F1 / F2"; those that share a current: "F1, F2".
std::string link_words(const Voice& voice, const std::vector<const check::LinkTogether*>& alike) {
    std::vector<std::string> names;
    for (const check::LinkTogether* link : alike) {
        std::vector<std::string> ids;
        for (const model::DeviceIndex index : link->links)
            ids.push_back(voice.harness().device(index).id);
        names.push_back(joined(ids, ", "));
    }
    const check::LinkTogether& link = *alike.front();
    return voice.say(Phrase::protection_band,
                     {joined(names, " / "), voice.told(link.type->name), check::rating(link.rating_a),
                      voice.temperature(link.ambient_degc, base::Rounding::up),
                      voice.told(link.type->standard), voice.told(link.type->confidence)});
}

/// One band hides another of the same kind: they are drawn once.
std::vector<std::vector<const check::LinkTogether*>> by_kind(const std::vector<check::LinkTogether>& links) {
    std::vector<std::vector<const check::LinkTogether*>> kinds;
    for (const check::LinkTogether& link : links) {
        const auto same = std::find_if(kinds.begin(), kinds.end(), [&link](const auto& kind) {
            const check::LinkTogether& first = *kind.front();
            return first.type == link.type && first.rating_a == link.rating_a &&
                   first.ambient_degc == link.ambient_degc;
        });
        if (same == kinds.end())
            kinds.push_back({&link});
        else
            same->push_back(&link);
    }
    return kinds;
}

/// What the page is made from: the ways in that pass fuse-links, each set of links once.
class Protection {
  public:
    Protection(const Voice& voice, model::CableIndex cable)
        : voice_(&voice), checked_(&voice.checked()), cable_(cable),
          shorts_(solve::short_currents(voice.harness())) {
        for (const check::FeedPath& feed : voice.facts().topology.feeds)
            if (feed.cable == cable)
                add_way(feed);
    }
    TimeCurrentContent content();

  private:
    const model::Harness& harness() const { return *checked_->harness; }
    const model::Cable& cable() const { return harness().cable(cable_); }
    void add_way(const check::FeedPath& feed);
    void add_marks(TimeCurrentContent& content) const;
    void add_prospective(TimeCurrentContent& content) const;
    void add_notes(TimeCurrentContent& content) const;
    std::vector<double> currents(const TimeCurrentContent& content) const;

    const Voice* voice_;
    const Checked* checked_;
    model::CableIndex cable_;
    base::Outcome<solve::ShortCurrents, solve::Unsolved> shorts_;
    std::vector<check::LinkTogether> links_;
    std::vector<model::DeviceIndex> sources_;
};

void Protection::add_way(const check::FeedPath& feed) {
    if (std::find(sources_.begin(), sources_.end(), feed.source) == sources_.end())
        sources_.push_back(feed.source);
    if (feed.cut.empty())
        return;
    const check::LinkTogether link = check::link_together(harness(), feed);
    const bool known = std::any_of(links_.begin(), links_.end(),
                                   [&](const auto& other) { return other.links == link.links; });
    if (link.type != nullptr && !known)
        links_.push_back(link);
}

void Protection::add_marks(TimeCurrentContent& content) const {
    const check::WorstDuty& worst = check::worst_duty(*checked_->facts, cable_);
    if (worst.duty && worst.current_a > 0.01)
        content.marks.push_back(
            {.id = "load",
             .words = voice_->say(Phrase::protection_load, {check::amps_up(worst.current_a),
                                                            voice_->duty(harness().duty(*worst.duty))}),
             .current_a = worst.current_a,
             .dash = layout::Dash::dash_dot});
    const double usable_a = checked_->facts->ratings[model::at(cable_)].usable_a;
    if (usable_a > 0)
        content.marks.push_back(
            {.id = "usable",
             .words = voice_->say(Phrase::protection_usable, {check::amps_down(usable_a)}),
             .current_a = usable_a,
             .dash = layout::Dash::dots,
             .strong = true});
}

void Protection::add_prospective(TimeCurrentContent& content) const {
    if (!shorts_)
        return;
    for (const model::DeviceIndex source : sources_) {
        double greatest_a = 0, least_a = 0;
        for (const solve::ShortCurrent& one : shorts_->cables) {
            if (one.cable != cable_ || one.source != source)
                continue;
            greatest_a = std::max(greatest_a, one.greatest_a);
            least_a = least_a > 0 ? std::min(least_a, one.least_a) : one.least_a;
        }
        const std::string& id = harness().device(source).id;
        if (greatest_a > 0)
            content.marks.push_back(
                {.id = "greatest-" + id,
                 .words = voice_->say(Phrase::protection_greatest, {id, check::amps_up(greatest_a)}),
                 .current_a = greatest_a,
                 .strong = true});
        if (least_a > 0 && least_a < 0.98 * greatest_a)
            content.marks.push_back(
                {.id = "least-" + id,
                 .words = voice_->say(Phrase::protection_least, {id, check::amps_down(least_a)}),
                 .current_a = least_a});
    }
}

std::string verdict_words(const Voice& voice, const check::Judgement& judgement) {
    if (judgement.verdict == check::Verdict::passes)
        return voice.say(Phrase::protection_holds);
    return voice.say(judgement.severity == check::Severity::error     ? Phrase::severity_error
                     : judgement.severity == check::Severity::warning ? Phrase::severity_warning
                                                                      : Phrase::severity_note);
}

/// What the rules say of this cable's protection.
void Protection::add_notes(TimeCurrentContent& content) const {
    // What is wrong first, then what the plot shows; that a link is there at all is seen above.
    static constexpr std::array<std::string_view, 3> slugs = {"fuse-coordination", "fuse-over-ampacity",
                                                              "cable-unprotected"};
    for (const bool passes : {false, true})
        for (const std::string_view slug : slugs)
            for (const check::Judgement& judgement : checked_->record->judgements)
                if (judgement.rule->slug == slug && judgement.subjects.front() == cable().id &&
                    (judgement.verdict == check::Verdict::passes) == passes &&
                    !(passes && slug == "cable-unprotected" && !links_.empty()))
                    content.notes.push_back(
                        voice_->say(Phrase::named, {verdict_words(*voice_, judgement),
                                                    with_signs(voice_->found(judgement.message))}));
    if (!shorts_)
        content.notes.push_back(voice_->say(Phrase::protection_unknown, {shorts_.error().message}));
}

std::vector<double> Protection::currents(const TimeCurrentContent& content) const {
    double low = 1e9, high = 0;
    for (const CurrentMark& mark : content.marks) {
        low = std::min(low, mark.current_a);
        high = std::max(high, mark.current_a);
    }
    for (const check::LinkTogether& link : links_) {
        low = std::min(low, link.rating_a);
        high = std::max(high, 6 * link.rating_a);
    }
    low *= 0.8;
    high = std::max(1.2 * high, 2 * low);
    std::vector<double> all;
    for (std::size_t i = 0; i < points_per_curve; ++i)
        all.push_back(low * std::pow(high / low, static_cast<double>(i) / (points_per_curve - 1)));
    return all;
}

TimeCurrentContent Protection::content() {
    TimeCurrentContent content;
    content.heading = voice_->say(Phrase::protection_of, {cable().id});
    content.remark = fmt::format("{}, {} {}", voice_->cable_words(cable()), voice_->terminal(cable().from.at),
                                 voice_->say(Phrase::to_terminal, {voice_->terminal(cable().to.at)}));
    content.current_axis = voice_->say(Phrase::protection_current);
    content.time_axis = voice_->say(Phrase::protection_time);
    add_marks(content);
    add_prospective(content);
    const std::vector<double> all = currents(content);
    for (const auto& alike : by_kind(links_)) {
        TimeBand band{.id = "band-" + std::to_string(content.bands.size() + 1),
                      .words = link_words(*voice_, alike)};
        for (const double current_a : all) {
            const physics::OperatingBand times = check::band_at(*alike.front(), current_a);
            band.fastest.push_back({current_a, times.fastest_s});
            band.slowest.push_back({current_a, times.slowest_s});
        }
        content.bands.push_back(std::move(band));
    }
    layout::papers::TimeCurve damage{
        .id = "damage",
        .words = voice_->say(Phrase::protection_damage,
                             {cable().id, voice_->temperature(check::short_time_limit_of(harness(), cable_),
                                                              base::Rounding::down)})};
    for (const double current_a : all)
        damage.points.push_back(
            {current_a, check::damage_time_s(harness(), *checked_->facts, cable_, current_a)});
    content.curves.push_back(std::move(damage));
    add_notes(content);
    return content;
}

} // namespace

std::optional<model::CableIndex> protected_cable(const Checked& checked, std::string_view id) {
    const auto live = [&](model::CableIndex cable) {
        return checked.facts->ratings[model::at(cable)].usable_a > 0 &&
               std::any_of(checked.facts->topology.feeds.begin(), checked.facts->topology.feeds.end(),
                           [&](const check::FeedPath& feed) { return feed.cable == cable; });
    };
    if (const auto cable = model::find_cable(*checked.harness, id))
        return live(*cable) ? cable : std::nullopt;
    // Of all that hangs behind a link, taps with links of their own included, the cables bolted to it are
    // meant.
    const auto link = model::find_device(*checked.harness, id);
    const auto bolted = [&](const model::Cable& cable) {
        return checked.harness->terminal(cable.from.at).device == *link ||
               checked.harness->terminal(cable.to.at).device == *link;
    };
    std::optional<model::CableIndex> least;
    for (const check::FeedPath& feed : checked.facts->topology.feeds)
        if (link && live(feed.cable) && bolted(checked.harness->cable(feed.cable)) &&
            std::find(feed.cut.begin(), feed.cut.end(), *link) != feed.cut.end() &&
            (!least || checked.facts->ratings[model::at(feed.cable)].usable_a <
                           checked.facts->ratings[model::at(*least)].usable_a))
            least = feed.cable;
    return least;
}

layout::Page protection_sheet(const Voice& voice, model::CableIndex cable, layout::papers::PaperSize size,
                              const layout::TextMeasure& measure) {
    return layout::papers::build_time_current(Protection(voice, cable).content(), size, measure);
}

std::vector<model::CableIndex> protection_worth_a_sheet(const Checked& checked, std::size_t most) {
    struct Worth {
        model::CableIndex cable;
        int gravity = 0; // of what the rules found
        double rating_a = 0;
    };
    std::vector<Worth> all;
    for (const model::Device& device : checked.harness->devices) {
        const auto* link = std::get_if<model::FuseLink>(&device.data);
        const auto cable = link != nullptr ? protected_cable(checked, device.id) : std::nullopt;
        const bool known = cable && std::any_of(all.begin(), all.end(),
                                                [&](const Worth& other) { return other.cable == *cable; });
        if (!cable || known)
            continue;
        Worth worth{.cable = *cable, .gravity = 0, .rating_a = link->rating_a.value};
        for (const check::Judgement& judgement : checked.record->judgements)
            if (judgement.verdict != check::Verdict::passes &&
                judgement.subjects.front() == checked.harness->cable(*cable).id &&
                (judgement.rule->slug == "fuse-coordination" || judgement.rule->slug == "fuse-over-ampacity"))
                worth.gravity = std::max(worth.gravity, 1 + static_cast<int>(judgement.severity));
        all.push_back(worth);
    }
    std::stable_sort(all.begin(), all.end(), [](const Worth& one, const Worth& other) {
        return one.gravity != other.gravity ? one.gravity > other.gravity : one.rating_a > other.rating_a;
    });
    std::vector<model::CableIndex> cables;
    for (std::size_t i = 0; i < std::min(most, all.size()); ++i)
        cables.push_back(all[i].cable);
    return cables;
}

layout::Document protection_page(const Checked& checked, model::CableIndex cable,
                                 layout::papers::PaperSize size, const layout::TextMeasure& measure) {
    const Voice voice(checked,
                      language_named(checked.harness->title_block.language).value_or(Language::english));
    layout::Page page = protection_sheet(voice, cable, size, measure);
    page.label = "1";
    layout::papers::Dress dress;
    dress.title = title_fields(checked);
    dress.title.document_type = voice.say(Phrase::protection_document);
    dress.title.title = voice.say(Phrase::protection_of, {checked.harness->cable(cable).id});
    dress.title.subtitle = one_line(checked.harness->title);
    dress.title.language = std::string(language_tag(voice.language()));
    if (!tally(checked).clean())
        dress.title.status = voice.say(Phrase::status_for_review);
    dress.sheet_number = "1 / 1";
    dress.caution = {.signal = layout::papers::Signal::warning,
                     .word = voice.say(Phrase::word_warning),
                     .text = voice.say(Phrase::caution_battery)};
    dress.words = sheet_words(voice);
    layout::papers::dress(page, {.size = size, .portrait = false}, dress, measure);
    layout::Document document;
    document.title = dress.title.title + ": " + one_line(checked.harness->title);
    document.author = checked.harness->title_block.created_by;
    document.subject = checked.harness->title_block.subtitle;
    document.language = std::string(language_tag(voice.language()));
    document.date = checked.harness->title_block.date;
    document.pages.push_back(std::move(page));
    return document;
}

} // namespace stoutloom::report
