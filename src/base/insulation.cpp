#include "base/insulation.h"

#include <fmt/format.h>

#include <array>

namespace stoutloom::base {

Outcome<Insulation, QuantityRefusal> parse_insulation(std::string_view text) {
    constexpr std::array<double, 8> class_degc = {85, 100, 125, 150, 175, 200, 225, 250};
    double limit_degc = 0;
    if (text.size() == 1 && text[0] >= 'A' && text[0] <= 'H') {
        limit_degc = class_degc.at(static_cast<std::size_t>(text[0] - 'A'));
    } else {
        const auto parsed = parse_quantity(Quantity::temperature, text);
        if (!parsed || *parsed < 40 || *parsed > 300)
            return failure(QuantityRefusal{
                .wrong = fmt::format("insulation \"{}\" is neither a class nor a temperature", text),
                .mend = "write a class letter A to H (ISO 6722) or a temperature such as \"105 degC\""});
        limit_degc = *parsed;
    }
    return Insulation{.text = std::string(text), .class_degc = limit_degc};
}

} // namespace stoutloom::base
