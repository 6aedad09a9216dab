// The XSD and the reference's tables, written from the reader's own vocabulary so that neither can go stale.
#pragma once

#include <string>

namespace stoutloom::read {

/// schemas/harness.xsd, whole: XML Schema 1.0, an annotation on every element and attribute.
std::string schema_text();
/// The element sections of schemas/README.md: a heading, a sentence and a table for each.
std::string reference_text();
/// The table of default limits in schemas/README.md.
std::string limits_text();
/// The table of quantities and their units in schemas/README.md.
std::string quantities_text();

} // namespace stoutloom::read
