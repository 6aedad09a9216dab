// The router's parts: jobs, costs, and the rounds that try them. Private to route.cpp and route_shapes.cpp.
#pragma once

#include "layout/crowd.h"
#include "layout/hardware.h"
#include "layout/route.h"

#include <optional>
#include <utility>
#include <vector>

namespace stoutloom::layout {

inline constexpr double bend_cost = 9;
inline constexpr double crossing_cost = 60;
inline constexpr double near_tag_cost = 50;
inline constexpr double stray_cost = 250;
inline constexpr double no_label_cost = 45;
inline constexpr double through_label_cost = 30;
inline constexpr double wrong_side_cost = 40;
inline constexpr double turning_room_mm = 9;
inline constexpr double close_cost = 30;
inline constexpr double cable_clear_mm = 2;
inline constexpr double lane_step_mm = 1;
inline constexpr double near_span_mm = 90;

struct Terminal {
    bool tag = false;   // the cable goes on elsewhere
    bool loose = false; // and its tag may stand anywhere, not only at the sheet's edge
    int tag_side = 0;
    std::size_t stud = nowhere;
    Point at; // end of the barrel, or the tag's point (x only)
    int side = 1;
    double riser_x = 0;
};
struct Job {
    std::size_t cable = nowhere;
    Terminal ends[2];
    double half_mm = 1, radius_mm = 4, span_mm = 0;
    double tag_mm = 24; // width of a tag at either end
    LabelBox label;
};

/// Ways as the shapes give them, untidy: pieces may be empty or run on. The cheapest by length and bends
/// comes first; few are asked for, so they are not sorted.
class Candidates {
  public:
    explicit Candidates(std::vector<Track>&& raw);
    /// The next one, if it costs less than so much at least.
    const Track* next(double under);

  private:
    std::vector<Track> raw_;
    std::vector<std::pair<double, std::size_t>> heap_;
};
/// Joins pieces that run on in one direction and drops empty ones.
Track tidy(const Track& track);
bool doubles_back(const Track& track);

class Router {
  public:
    Router(const Arrangement& all, const std::vector<LabelBox>& labels, const TextMeasure& measure,
           TagsFirst tags_first)
        : all_(all) {
        obstacles_ = obstacles_of(all, measure);
        for (std::size_t i = 0; i < obstacles_.size(); ++i)
            solid_.add(obstacles_[i].box, std::max(obstacles_[i].clear_mm, 1.5), i);
        for (const std::size_t cable : all.share.cables) {
            jobs_.push_back(job(cable, labels[cable]));
            const RunGlyph& run = all.content->cables[cable];
            jobs_.back().tag_mm = all.tag_width_mm;
            // One that lies here with both ends gets a tag at each when it is cut into stubs.
            if (!jobs_.back().ends[0].tag && !jobs_.back().ends[1].tag)
                for (const std::string& end : {run.from, run.to})
                    jobs_.back().tag_mm = std::max(
                        jobs_.back().tag_mm, whole_tag_mm(tag_words(run, end), all.content->title, measure));
        }
        for (Job& each : jobs_)
            if (tags_first == TagsFirst::yes && each.ends[0].tag != each.ends[1].tag)
                each.span_mm = std::min(each.span_mm, near_span_mm);
        std::stable_sort(jobs_.begin(), jobs_.end(),
                         [](const Job& a, const Job& b) { return a.span_mm < b.span_mm; });
    }
    Routing route(Cutting cutting);
    /// After `route`: takes up what crosses and lays it anew; whether that mended anything. In reroute.cpp.
    bool improve();
    void tell(Routing& result) const;
    std::size_t weighed() const { return weighed_; }

  private:
    const Arrangement& all_;
    std::vector<Obstacle> obstacles_;
    Crowd solid_; // the obstacles
    std::vector<Job> jobs_;
    std::vector<Routed> done_;
    std::vector<Piece> pieces_;
    std::vector<Box> tags_;
    mutable std::size_t weighed_ = 0; // ways so far, as a measure of the work
    std::vector<Box> pending_;        // columns that cables yet to come will need

    Job job(std::size_t cable, const LabelBox& label) const;
    struct Way {
        double cost = 1e9;
        Track track;
        Box room; // for its label
    };
    std::optional<std::size_t> attempt(Routing& result);
    bool lay(const Job& job, Routing& result);
    Way cheapest(const Job& job, bool thorough) const;
    int crossed(const Job& job, const Track& track) const;
    void put(const Job& job, const Way& way);
    bool lay_again(const std::vector<std::size_t>& order);
    void keep_only(const std::vector<Routed>& routes);
    double cost_of(const Job& job, const Routed& route) const;
    int crossings() const;
    void cut(std::size_t cable);
    void note_pending(std::size_t from);

    /// How far a straight piece may go both ways from a point before it meets an obstacle; empty (low over
    /// high) when the point itself is not free.
    struct Reach {
        double low, high;
        bool holds(double at) const { return at >= low && at <= high; }
    };
    Reach reach(Point from, double half_mm, bool upright) const;
    Candidates candidates(const Job& job) const;
    /// Ways through the gaps of the unit row, for ends that lie on different sides of it.
    Candidates detours(const Job& job) const;
    void loose_ends(const Job& job, std::vector<Track>& made) const;
    void near_tags(const Job& job, std::vector<Track>& made) const;
    void bridges(const Job& job, std::vector<Track>& made) const;
    void steps(const Job& job, std::vector<Track>& made) const;
    void passages(const Job& job, std::vector<Track>& made) const;
    std::vector<double> gaps() const;
    bool strays(const Job& job, const Terminal& end) const;
    std::optional<double> price(const Job& job, const Track& track, double best) const;
    bool meets_obstacle(const Job& job, const Piece& piece, bool first, bool last) const;
    /// Crossings with the cables laid so far; -1 when it touches one.
    int meets_cables(const Piece& piece) const;
    Box label_room(const Job& job, const Track& track) const;
    bool tag_free(const Job& job, const Track& track, int end) const;
    bool room_free(const Box& box) const;
    Routed routed(const Job& job, const Track& track) const;
};

} // namespace stoutloom::layout
