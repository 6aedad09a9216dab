#include "check/failure_rules.h"

#include "check/check.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stoutloom::check {
namespace {

constexpr std::string_view as_fitted =
    "about what is fitted, which stays as it is when another part comes off";
constexpr std::string_view only_less = "an open part takes ways away from a source and never adds one";
constexpr std::string_view second_fault = "about a short circuit or a wrong assembly: a second fault";

// Its own value, so that the function's span is of one array made once.
const std::vector<FailureRule>& table() {
    static const std::vector<FailureRule> rows = {
        {"acceptance-used", After::not_asked, "about the file's own acceptances"},
        {"battery-balance",
         After::asked,
         "a lost cable may leave the battery alone with the load",
         Grave::nothing,
         {Harm::load_dump}},
        {"belt-power", After::not_asked, "from the unit's greatest output, which a failure cannot raise"},
        {"cable-ampacity", After::by_own_words,
         "the usable current, unless a fuse-link in the cable is sure to open first"},
        {"cable-short-duty", After::by_own_words,
         "the wall's short-time limit in place of its class: a fault is not a daily load"},
        {"cable-unprotected", After::not_asked, only_less},
        {"charging-drop",
         After::asked,
         "the current takes what ways are left",
         Grave::nothing,
         {Harm::load_dump}},
        {"consumer-drop", After::asked, "the current takes what ways are left", Grave::nothing, {Harm::dead}},
        {"consumer-overvoltage", After::by_own_words, "a lost battery is a leap of volts of its own kind"},
        {"cranking-drop", After::asked, "the current takes what ways are left", Grave::nothing, {Harm::dead}},
        {"duty-missing", After::not_asked, "about the file's duties"},
        {"duty-solved", After::by_own_words, "a duty without an answer after a failure is told as such"},
        {"exciter-circuit",
         After::asked,
         "a lost lamp lead leaves the unit without its first current",
         Grave::nothing,
         {Harm::load_dump}},
        {"fuse-breaking-capacity", After::not_asked, second_fault},
        {"fuse-continuous-load",
         After::asked,
         "of two links that share a load one may get it all",
         Grave::nothing,
         {Harm::link_opens}},
        {"fuse-coordination", After::not_asked, second_fault},
        {"fuse-inrush",
         After::asked,
         "of two links that share a surge one may get it all",
         Grave::nothing,
         {Harm::link_opens}},
        {"fuse-over-ampacity", After::not_asked, only_less},
        {"fuse-selectivity", After::not_asked, second_fault},
        {"fuse-voltage", After::not_asked, as_fitted},
        {"generator-at-ceiling", After::not_asked,
         "from the appetite of batteries and the unit's hot output"},
        {"generator-hot-demand", After::not_asked, "from what consumers ask and the unit's hot output"},
        {"ground-return-missing",
         After::asked,
         "a lost strap may leave a unit no metal way back; what a stray path then carries is "
         "incidental-current",
         Grave::nothing,
         {Harm::incidental, Harm::load_dump, Harm::dead},
         Grave::nothing},
        {"ground-return-weak", After::not_asked,
         "compares sections; what a thin return then carries is asked by cable-ampacity"},
        {"incidental-current", After::by_own_words, "the same limit, told with what caused it"},
        {"insulation-ambient", After::not_asked, as_fitted},
        {"isolated-return", After::not_asked,
         "a return that never was joined cannot be joined by an open part"},
        {"keyed-landing", After::not_asked, second_fault},
        {"limit-drop", After::asked, "the file's own limit is asked of what ways are left"},
        {"link-wire", After::not_asked, as_fitted},
        {"live-stud-boot", After::not_asked, as_fitted},
        {"lug-barrel", After::not_asked, as_fitted},
        {"lug-fit", After::not_asked, as_fitted},
        {"lugs-per-stud", After::not_asked, as_fitted},
        {"mass-shift", After::asked, "of two straps one is left", Grave::nothing, {Harm::incidental}},
        {"nominal-voltage", After::not_asked, as_fitted},
        {"parallel-runs", After::not_asked, "is itself about the loss of a run"},
        {"part-rating", After::by_own_words, "the same rating, told with what caused it"},
        {"polarity-colour", After::not_asked, as_fitted},
        {"push-on-current", After::asked, "of two ways one is left, and its blades get all of it",
         Grave::burns},
        {"return-dead-end", After::not_asked, "every failed return has a dead end: that is the failure"},
        {"return-loop",
         After::asked,
         "a thin second ground may become the only one",
         Grave::nothing,
         {Harm::overheats}},
        {"reversed-battery", After::not_asked, second_fault},
        {"rotor-overspeed", After::not_asked, as_fitted},
        {"shunt-bypassed", After::not_asked, only_less},
        {"signal-return", After::asked, "of two straps one is left", Grave::nothing, {Harm::incidental}},
        {"single-failure", After::not_asked, "is the asking itself"},
        {"standby-drain", After::asked, "a load may lose the unit that fed it"},
        {"supply-collapse",
         After::asked,
         "a supply may hold only with all its ways",
         Grave::nothing,
         {Harm::dead}},
        {"washer-under-lug", After::not_asked, as_fitted},
        {"wet-joint", After::not_asked, as_fitted},
    };
    return rows;
}

std::string key_of(const Judgement& judgement) {
    return fmt::format("{}|{}|{:.6g}", judgement.rule->slug, judgement.subjects.front(),
                       judgement.has_figures ? judgement.limit : 0.0);
}

std::vector<Judgement> failing(const Rule& rule, const Facts& facts) {
    Judgements asked(rule);
    rule.judge(facts, asked);
    std::vector<Judgement> found;
    for (Judgement& one : asked.all())
        if (one.verdict == Verdict::fails)
            found.push_back(std::move(one));
    return found;
}

template <class Visit> void each_asked(Visit visit) {
    for (const FailureRule& row : failure_rules())
        if (const Rule* rule = row.after == After::asked ? rule_by_slug(row.slug) : nullptr)
            visit(row, *rule);
}

/// How far past its limit, whichever way the limit lies.
double ratio_of(const Judgement& judgement) {
    if (!judgement.has_figures || !(judgement.limit > 0))
        return 1;
    const double over = judgement.computed / judgement.limit;
    return over >= 1 ? over : std::min(1 / std::max(over, 1e-3), 1e3);
}

Consequence consequence_of(const FailureRule& row, const Judgement& judgement) {
    Consequence told{.harm = Harm::limit,
                     .subject = judgement.subjects.front(),
                     .duty = judgement.duty,
                     .value = judgement.has_figures ? judgement.computed : 0,
                     .limit = judgement.has_figures ? judgement.limit : 0,
                     .ratio = ratio_of(judgement),
                     .words = judgement.message,
                     .rule = std::string(row.slug),
                     .unit = judgement.unit,
                     .cure = judgement.cure.empty() ? std::string(judgement.rule->cure) : judgement.cure,
                     .weight = row.weight};
    if (judgement.severity == Severity::error)
        told.weight = std::max(told.weight, row.error_weight);
    return told;
}

} // namespace

std::span<const FailureRule> failure_rules() {
    return table();
}

bool takes_away(const model::Harness& harness, const solve::Failure& failure, const Link& link) {
    if (link.cable)
        return link.cable == failure.cable ||
               (failure.nut && solve::is_bolted_to(harness.cable(*link.cable), *failure.nut));
    return link.device && link.device == failure.device;
}

HealthyAnswers::HealthyAnswers(const Facts& facts) {
    each_asked([&](const FailureRule&, const Rule& rule) {
        std::vector<const Facts*> ends = worst_cases(facts);
        ends.push_back(&facts);
        for (const Facts* end : ends)
            for (const Judgement& one : failing(rule, *end)) {
                auto [place, fresh] = failing_.try_emplace(key_of(one), one.severity);
                place->second = std::max(place->second, one.severity);
            }
    });
}

bool HealthyAnswers::is_news(const Judgement& judgement) const {
    const auto before = failing_.find(key_of(judgement));
    return before == failing_.end() || before->second < judgement.severity;
}

AskedAgain::AskedAgain(const Facts& end) : healthy_(end), facts_(end) {
    facts_.faults.reset();
    facts_.at_worst.reset();
    facts_.at_least_charge.reset();
    facts_.combined.clear();
}

void AskedAgain::fail(const solve::Failure& failure, const std::vector<const solve::OperatingPoint*>& points,
                      const solve::OperatingPoint* key_on) {
    for (std::size_t d = 0; d < facts_.duties.size(); ++d)
        if (d < points.size() && points[d] != nullptr)
            facts_.duties[d].point = *points[d];
        else
            facts_.duties[d].point.reset();
    facts_.key_on.reset();
    if (key_on != nullptr)
        facts_.key_on = *key_on;
    facts_.worst = worst_of(*facts_.harness, facts_.duties, {});
    const model::Harness& harness = *healthy_.harness;
    const auto apart = failure.metal  ? failure.metal
                       : failure.seat ? model::terminal_of(harness, *failure.seat, model::Role::negative)
                                      : std::nullopt;
    if (apart)
        facts_.topology = split_off(harness, healthy_.topology, *apart);
    else
        facts_.topology =
            failure.one_run ? healthy_.topology : without(healthy_.topology, [&](const Link& link) {
                return takes_away(harness, failure, link);
            });
}

/// A rule tells one duty only. One that fails as badly in the healthy kit, behind a worse duty that the
/// failure cures, is no news.
bool AskedAgain::hidden_before(const Rule& rule, const Judgement& judgement) const {
    const auto duty = model::find_duty(*healthy_.harness, judgement.duty);
    if (!duty || !judgement.has_figures)
        return false;
    const auto [place, fresh] = alone_.try_emplace({rule.slug, judgement.duty});
    if (fresh) {
        Facts alone = healthy_;
        for (SolvedDuty& solved : alone.duties)
            if (solved.duty != *duty)
                solved.point.reset();
        place->second = failing(rule, alone);
    }
    return std::any_of(place->second.begin(), place->second.end(), [&](const Judgement& before) {
        return key_of(before) == key_of(judgement) && before.severity >= judgement.severity;
    });
}

std::vector<Consequence> AskedAgain::consequences(const HealthyAnswers& healthy,
                                                  const std::vector<Consequence>& so_far) const {
    struct News {
        const FailureRule* row;
        Judgement judgement;
    };
    std::vector<News> news;
    each_asked([&](const FailureRule& row, const Rule& rule) {
        for (Judgement& one : failing(rule, facts_))
            if (healthy.is_news(one) && !hidden_before(rule, one))
                news.push_back({.row = &row, .judgement = std::move(one)});
    });
    const auto told_already = [&](const News& one) {
        return std::any_of(so_far.begin(), so_far.end(), [&](const Consequence& told) {
            const auto& causes = one.row->same_cause;
            const bool same = std::find(causes.begin(), causes.end(), told.harm) != causes.end();
            // A dead unit or an open link is one subject's matter; stray current is the whole metal's.
            return (same && (told.harm == Harm::incidental || told.harm == Harm::load_dump ||
                             told.subject == one.judgement.subjects.front())) ||
                   (told.harm == Harm::dead && told.subject == one.judgement.subjects.front());
        });
    };
    const auto told_by_other = [&](const News& one) {
        return std::any_of(news.begin(), news.end(), [&](const News& other) {
            const auto& slugs = one.judgement.yields_to;
            const auto& about = one.judgement.subjects;
            return std::find(slugs.begin(), slugs.end(), other.row->slug) != slugs.end() &&
                   std::find(about.begin(), about.end(), other.judgement.subjects.front()) != about.end();
        });
    };
    std::vector<Consequence> found;
    for (const News& one : news)
        if (!told_already(one) && !told_by_other(one))
            found.push_back(consequence_of(*one.row, one.judgement));
    return found;
}

} // namespace stoutloom::check
