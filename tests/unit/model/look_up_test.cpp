// Look-ups, duties and limits of the model.
#include "model/harness.h"

#include "base/quantity.h"

#include <doctest/doctest.h>

#include <set>
#include <stdexcept>

namespace {

using namespace stoutloom;
using model::Closes;
using model::Engine;
using model::Runs;

model::Duty duty(Engine engine, bool key) {
    model::Duty made;
    made.engine = engine;
    made.key_on = key;
    return made;
}

model::Harness one_consumer(Runs runs) {
    model::Harness harness;
    model::Consumer consumer;
    consumer.runs = runs;
    model::Device device;
    device.id = "E1";
    device.data = consumer;
    harness.devices.push_back(device);
    return harness;
}

} // namespace

TEST_CASE("kind names follow the order of the alternatives") {
    model::Device device;
    device.data = model::FuseLink{};
    CHECK(model::kind_name(device.kind()) == "fuse-link");
    device.data = model::Switch{};
    CHECK(model::kind_name(device.kind()) == "switch");
    device.data = model::Shunt{};
    CHECK(model::kind_name(device.kind()) == "shunt");
}

TEST_CASE("contacts close as their word says") {
    CHECK(model::closed_in(duty(Engine::off, false), Closes::always));
    CHECK_FALSE(model::closed_in(duty(Engine::rated, true), Closes::never));
    CHECK(model::closed_in(duty(Engine::off, true), Closes::key_on));
    CHECK_FALSE(model::closed_in(duty(Engine::off, false), Closes::key_on));
    CHECK(model::closed_in(duty(Engine::idle, true), Closes::engine_on));
    CHECK_FALSE(model::closed_in(duty(Engine::cranking, true), Closes::engine_on));
    CHECK(model::closed_in(duty(Engine::cranking, true), Closes::cranking));
    CHECK_FALSE(model::closed_in(duty(Engine::idle, true), Closes::cranking));
}

TEST_CASE("consumers run as their word says unless the duty lists them") {
    constexpr auto first = model::DeviceIndex{0};
    CHECK(model::runs_in(one_consumer(Runs::always), duty(Engine::off, false), first));
    CHECK_FALSE(model::runs_in(one_consumer(Runs::engine_on), duty(Engine::cranking, true), first));
    CHECK(model::runs_in(one_consumer(Runs::engine_on), duty(Engine::idle, true), first));
    CHECK_FALSE(model::runs_in(one_consumer(Runs::on_request), duty(Engine::idle, true), first));
    model::Duty listed = duty(Engine::off, false);
    listed.on = {first};
    CHECK(model::runs_in(one_consumer(Runs::on_request), listed, first));
    listed.off = {first};
    CHECK_FALSE(model::runs_in(one_consumer(Runs::always), listed, first));
}

TEST_CASE("a duty with everything on leaves out what only runs while cranking") {
    constexpr auto first = model::DeviceIndex{0};
    model::Duty all = duty(Engine::idle, true);
    all.all_on = true;
    for (const Runs runs : {Runs::always, Runs::key_on, Runs::engine_on, Runs::on_request})
        CHECK(model::runs_in(one_consumer(runs), all, first));
    CHECK_FALSE(model::runs_in(one_consumer(Runs::cranking), all, first));
    all.engine = Engine::off;
    all.key_on = false;
    CHECK(model::runs_in(one_consumer(Runs::engine_on), all, first));
    all.off = {first};
    CHECK_FALSE(model::runs_in(one_consumer(Runs::always), all, first));
}

TEST_CASE("limits have unlike names and their defaults scale with the nominal voltage") {
    std::set<std::string> names;
    for (const model::LimitRow& row : model::limit_rows()) {
        CHECK_MESSAGE(names.insert(std::string(row.name)).second, row.name);
        CHECK_FALSE(row.meaning.empty());
        CHECK_FALSE(row.source.empty());
        CHECK(row.value > 0);
    }
    model::Harness harness;
    harness.nominal_v.value = 24;
    CHECK(model::limit_in_force(harness, "charging-feed-drop").value == doctest::Approx(0.40));
    CHECK(model::limit_in_force(harness, "consumer-drop").value == doctest::Approx(0.10));
    CHECK_FALSE(model::limit_in_force(harness, "consumer-drop").from_file);
    model::Limit own;
    own.name = "charging-feed-drop";
    own.value.value = 0.3;
    harness.limits.push_back(own);
    CHECK(model::limit_in_force(harness, "charging-feed-drop").value ==
          doctest::Approx(0.3)); // the file's figure is not scaled
    CHECK(model::limit_in_force(harness, "charging-feed-drop").source ==
          "this file, limit charging-feed-drop");
    CHECK_THROWS_AS(model::limit_in_force(harness, "no-such-limit"), std::logic_error);
}

TEST_CASE("a mass without its metal is a broken invariant") {
    model::Harness harness;
    model::Device mass;
    mass.data = model::Mass{};
    harness.devices.push_back(mass);
    CHECK_THROWS_AS(model::metal_of(harness, model::DeviceIndex{0}), std::logic_error);
}

TEST_CASE("the built-in duties are the five of the format page") {
    const auto duties = model::built_in_duties();
    REQUIRE(duties.size() == 5);
    CHECK(duties[0].engine == Engine::cranking);
    CHECK(duties[0].duration_s->value == 10);
    CHECK(duties[2].charge_fraction.value == doctest::Approx(0.2));
    CHECK(duties[2].all_on);
    CHECK_FALSE(duties[4].key_on);
    for (const model::Duty& one : duties)
        CHECK(one.built_in);
}
