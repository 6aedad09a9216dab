// The pool of values and the call of xmllint that the comparisons of reader and XSD share.
#include "cross/xsd_values.h"

#include "read/vocabulary.h"
#include "testing/testing.h"

#include <algorithm>

namespace stoutloom::testing {

std::vector<std::string> xsd_values() {
    std::vector<std::string> all = {"",
                                    " ",
                                    "auto",
                                    "all",
                                    "yes",
                                    "no",
                                    "Yes",
                                    "12",
                                    "12 V",
                                    "12V",
                                    "12  V",
                                    " 12 V",
                                    "12 V ",
                                    "12.0 V",
                                    "-5 A",
                                    "-0 A",
                                    "+5 A",
                                    "5 A",
                                    "5.A",
                                    ".5 A",
                                    "5,5 A",
                                    "05 A",
                                    "1e3 A",
                                    "NaN A",
                                    "inf A",
                                    "0 m",
                                    "0.000 m",
                                    "4.2m",
                                    "4.2 M",
                                    "123456789012 m",
                                    "1234567890123 m",
                                    "1.123456789012 m",
                                    "1.1234567890123 m",
                                    "50 mm²",
                                    "50 mm2",
                                    "50mm2",
                                    "50 MM2",
                                    "1/0 AWG",
                                    "0 AWG",
                                    "00 AWG",
                                    "4/0AWG",
                                    "5/0 AWG",
                                    "30 AWG",
                                    "31 AWG",
                                    "01 AWG",
                                    "2 awg",
                                    "-40 degC",
                                    "-40 °C",
                                    "40 K",
                                    "100 %",
                                    "100%",
                                    "3000 1/min",
                                    "30001/min",
                                    "3000 rpm",
                                    "15 N m",
                                    "15 Nm",
                                    "15 N·m",
                                    "15 N*m",
                                    "5 Ω",
                                    "5 mΩ",
                                    "5 µΩ",
                                    "5 μΩ",
                                    "B+",
                                    "-",
                                    "B.",
                                    "G1.B+",
                                    "G1.",
                                    ".B+",
                                    "G1.B.C",
                                    "X1 X2",
                                    " X1  X2 ",
                                    "X1&#9;X2",
                                    "X1\tX2",
                                    "X1&#10;X2",
                                    "a b",
                                    "é",
                                    "RD",
                                    "RDBK",
                                    "RDBKWH",
                                    "RDBKWHYE",
                                    "rd",
                                    "M8",
                                    "M9",
                                    "1/4 in",
                                    "1/4in",
                                    "99",
                                    "100",
                                    "0",
                                    "01",
                                    "1",
                                    "2026-03-14",
                                    "2026-13-14",
                                    "2026-3-14",
                                    "en",
                                    "EN",
                                    "en-GB",
                                    "en-gb",
                                    "charging-drop",
                                    "charging--drop",
                                    "-drop",
                                    "Charging",
                                    "A",
                                    "H",
                                    "I",
                                    "AB",
                                    "105 degC",
                                    "999 degC",
                                    "&lt;",
                                    "&amp;",
                                    "&quot;",
                                    std::string(200, 'x'),
                                    std::string(201, 'x'),
                                    std::string(40, 'x'),
                                    std::string(41, 'x'),
                                    std::string(21, '+'),
                                    "  a   b  ",
                                    "&#32;",
                                    "é" + std::string(199, 'x'),
                                    "é" + std::string(200, 'x')};
    for (const read::ElementRow& row : read::element_rows())
        for (const read::AttributeRow& attribute : row.attributes) {
            all.emplace_back(attribute.example);
            for (const std::string& word : read::choices(attribute.type))
                all.push_back(word);
        }
    std::sort(all.begin(), all.end());
    all.erase(std::unique(all.begin(), all.end()), all.end());
    return all;
}

std::set<std::string> valid_by_xmllint(const std::vector<std::string>& paths, std::string& said) {
    std::vector<std::string> words = {"xmllint", "--nonet", "--noout", "--schema",
                                      tree_path("schemas/harness.xsd")};
    words.insert(words.end(), paths.begin(), paths.end());
    const Ran ran = run(words);
    said = ran.err;
    std::set<std::string> valid;
    for (const std::string& path : paths)
        if (("\n" + ran.err).find("\n" + path + " validates\n") != std::string::npos)
            valid.insert(path);
    return valid;
}

} // namespace stoutloom::testing
