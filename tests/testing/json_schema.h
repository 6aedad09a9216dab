// As much of JSON Schema 2020-12 as schemas/*.schema.json use. A keyword it does not know is a failure, so
// that a schema cannot ask for something that nothing checks.
#pragma once

#include <nlohmann/json.hpp>

#include <regex>
#include <set>
#include <string>

namespace stoutloom::testing {

class SchemaCheck {
  public:
    explicit SchemaCheck(nlohmann::json schema) : root_(std::move(schema)) {}

    /// Empty if the document is valid; otherwise the first complaint with its place.
    std::string complaint(const nlohmann::json& document) const { return against(root_, document, "$"); }

  private:
    using Json = nlohmann::json;

    static bool is_type(const Json& value, const std::string& type) {
        if (type == "object")
            return value.is_object();
        if (type == "array")
            return value.is_array();
        if (type == "string")
            return value.is_string();
        if (type == "boolean")
            return value.is_boolean();
        if (type == "integer")
            return value.is_number_integer();
        if (type == "number")
            return value.is_number();
        return type == "null" && value.is_null();
    }

    std::string object(const Json& schema, const Json& value, const std::string& at) const {
        for (const Json& key : schema.value("required", Json::array()))
            if (!value.contains(key.get<std::string>()))
                return at + ": lacks " + key.get<std::string>();
        const Json properties = schema.value("properties", Json::object());
        for (const auto& [key, member] : value.items()) {
            std::string wrong;
            if (properties.contains(key))
                wrong = against(properties[key], member, at + "." + key);
            else if (schema.contains("additionalProperties")) {
                const Json& more = schema["additionalProperties"];
                wrong = more.is_boolean() ? (more.get<bool>() ? "" : at + ": has the unknown key " + key)
                                          : against(more, member, at + "." + key);
            }
            if (!wrong.empty())
                return wrong;
        }
        return {};
    }

    std::string against(const Json& schema, const Json& value, const std::string& at) const {
        static const std::set<std::string> known = {
            "$schema",  "$id",     "$defs",  "$ref",     "title",      "description",          "type",
            "oneOf",    "enum",    "const",  "required", "properties", "additionalProperties", "items",
            "minItems", "minimum", "pattern"};
        for (const auto& [key, ignored] : schema.items())
            if (known.count(key) == 0)
                return at + ": the schema uses " + key + ", which this check does not know";
        if (schema.contains("$ref")) {
            const auto target = root_.at(Json::json_pointer(schema["$ref"].get<std::string>().substr(1)));
            if (std::string wrong = against(target, value, at); !wrong.empty())
                return wrong;
        }
        if (schema.contains("oneOf")) {
            int fits = 0;
            std::string wrongs;
            for (const Json& one : schema["oneOf"]) {
                const std::string wrong = against(one, value, at);
                fits += wrong.empty() ? 1 : 0;
                wrongs += "\n  " + wrong;
            }
            if (fits != 1)
                return at + ": fits " + std::to_string(fits) + " alternatives" + wrongs;
        }
        if (schema.contains("type")) {
            const Json types = schema["type"].is_array() ? schema["type"] : Json::array({schema["type"]});
            bool fits = false;
            for (const Json& type : types)
                fits = fits || is_type(value, type.get<std::string>());
            if (!fits)
                return at + ": is no " + schema["type"].dump();
        }
        if (schema.contains("const") && value != schema["const"])
            return at + ": is not " + schema["const"].dump();
        if (schema.contains("enum") &&
            std::find(schema["enum"].begin(), schema["enum"].end(), value) == schema["enum"].end())
            return at + ": " + value.dump() + " is none of " + schema["enum"].dump();
        if (schema.contains("minimum") && value.is_number() &&
            value.get<double>() < schema["minimum"].get<double>())
            return at + ": " + value.dump() + " is too small";
        if (schema.contains("pattern") && value.is_string() &&
            !std::regex_search(value.get<std::string>(), std::regex(schema["pattern"].get<std::string>())))
            return at + ": " + value.dump() + " does not match " + schema["pattern"].dump();
        if (value.is_array()) {
            if (value.size() < schema.value("minItems", std::size_t{0}))
                return at + ": has too few items";
            if (schema.contains("items"))
                for (std::size_t i = 0; i < value.size(); ++i)
                    if (std::string wrong =
                            against(schema["items"], value[i], at + "[" + std::to_string(i) + "]");
                        !wrong.empty())
                        return wrong;
        }
        return value.is_object() ? object(schema, value, at) : std::string();
    }

    Json root_;
};

} // namespace stoutloom::testing
