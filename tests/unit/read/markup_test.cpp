// What the lenient parser behind the reader would let pass: each refused by the reader's own scan, with its
// place.
#include "read/read.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <sys/stat.h>

namespace {

using namespace stoutloom;

// "line:column slug: message" of each mistake, one a line.
std::string told(const std::string& text, const read::Bounds& bounds = {}) {
    const auto read = read::read_text("kit.xml", text, bounds);
    if (read)
        return "read";
    std::string all;
    for (const auto& mistake : read.error().mistakes) {
        const base::Position at = read.error().source.position(mistake.span.begin);
        all += std::to_string(at.line) + ":" + std::to_string(at.column) + " " + mistake.slug + ": " +
               mistake.message + "\n";
    }
    return all;
}

const std::string zone = "<zone id=\"a\" ambient=\"40 degC\"/>";
const std::string parts =
    "<battery id=\"G\" capacity=\"9 Ah\"/><consumer id=\"E\" draw=\"1 A\"/>"
    "<cable id=\"W\" section=\"1 mm2\" length=\"1 m\"><from at=\"G.+\"/><to at=\"E.+\"/></cable>";
std::string kit(const std::string& inside, const std::string& before = "", const std::string& after = "") {
    return before + "<harness xmlns=\"urn:stoutloom:harness:1\" title=\"t\">\n" + zone + parts + "\n" +
           inside + "</harness>" + after;
}

} // namespace

TEST_CASE("sound files of every dress are read") {
    CHECK(told(kit("")) == "read");
    CHECK(
        told(kit(
            "", "<?xml version=\"1.0\" encoding=\"utf-8\" standalone=\"yes\"?>\n<!-- a - b -->\n<?pi x?>")) ==
        "read");
    CHECK(told("\xEF\xBB\xBF" + kit("")) == "read");
    CHECK(told(kit("<note>&amp;&lt;&gt;&quot;&apos;&#65;&#x1F600;<![CDATA[<&]]></note>", "",
                   "\n<!-- end -->\n")) == "read");
    CHECK(told("<h:harness xmlns:h=\"urn:stoutloom:harness:1\" title='t'><h:zone id='a' ambient='4 degC'/>"
               "<h:battery id='G' capacity='9 Ah'/><h:post id='X'/>"
               "<h:cable id='W' section='1 mm2' length='1 m'><h:from at='G.+'/><h:to "
               "at='X'/></h:cable></h:harness>") == "read");
}

TEST_CASE("broken structure") {
    CHECK(told("") == "1:1 empty-file: the file holds no element\n");
    CHECK(told("  \n<!-- nothing -->\n") == "1:1 empty-file: the file holds no element\n");
    CHECK(told(kit("", "", "<harness/>")) == "3:11 not-well-formed: a second root element <harness>\n");
    CHECK(told(kit("", "words ")) == "1:1 stray-text: text outside the root element: \"words\"\n");
    CHECK(told("<harness") == "1:9 not-well-formed: the tag <harness> is not closed\n");
    CHECK(told("<harness>") == "1:1 not-well-formed: element <harness> is never closed\n");
    CHECK(told("<harness></harnes>") == "1:10 not-well-formed: </harnes> does not close <harness>\n");
    CHECK(told("</harness>") == "1:1 not-well-formed: </harness> closes nothing\n");
    CHECK(told("<harness a=\"1\"b=\"2\"/>") == "1:15 not-well-formed: no blank before an attribute\n");
    CHECK(told("<harness a=1/>") == "1:12 not-well-formed: an attribute's value is not in quotes\n");
    CHECK(told("<harness a/>") == "1:11 not-well-formed: an attribute has no value\n");
    CHECK(told("<harness 1=\"a\"/>") == "1:10 not-well-formed: \"1\" begins no attribute\n");
    CHECK(told("< harness/>") == "1:1 not-well-formed: \"<\" begins no tag\n");
    CHECK(told("<:harness/>") == "1:2 not-well-formed: \":harness\" is no name\n");
    CHECK(told("<h:/>") == "1:2 not-well-formed: \"h:\" is no name\n");
    CHECK(told("<a:b:c/>") == "1:2 not-well-formed: \"a:b:c\" is no name\n");
    CHECK(told("<harness :a='1'/>") == "1:10 not-well-formed: \":a\" is no name\n");
    CHECK(told("<harness><![CDATA[") == "1:10 not-well-formed: a CDATA section is never closed\n");
    CHECK(told("<!-- ") == "1:1 not-well-formed: a comment is never closed\n");
    CHECK(told("<!ELEMENT a>") == "1:1 not-well-formed: \"<!\" begins nothing that is known\n");
    CHECK(told("<?pi") == "1:1 not-well-formed: a processing instruction is not spelled <?name ...?>\n");
}

TEST_CASE("declarations") {
    CHECK(told("<!DOCTYPE harness><harness/>") ==
          "1:1 doctype: a document type declaration is not accepted\n");
    CHECK(told(kit("", "<?xml version=\"1.1\"?>")) ==
          "1:16 not-well-formed: XML version \"1.1\" is not accepted\n");
    CHECK(told(kit("", "<?xml encoding=\"UTF-8\"?>")) ==
          "1:7 not-well-formed: the XML declaration has a misplaced \"encoding\"\n");
    CHECK(told(kit("", "<?xml version=\"1.0\" encoding=\"ISO-8859-1\"?>")) ==
          "1:31 encoding: the file declares the encoding \"ISO-8859-1\"\n");
    CHECK(told(kit("", "\n<?xml version=\"1.0\"?>")) ==
          "2:1 not-well-formed: an XML declaration stands elsewhere than at the very beginning\n");
}

TEST_CASE("characters") {
    CHECK(told(kit("<note>a\xE9z</note>")) == "3:8 encoding: byte 0xE9 is no UTF-8\n");
    CHECK(told(kit("<note>\xC0\x80</note>")) ==
          "3:7 encoding: byte 0xC0 is no UTF-8\n3:8 encoding: byte 0x80 is no UTF-8\n");
    CHECK(told(kit("<note>\xED\xA0\x80z</note>"))
              .starts_with("3:7 encoding: byte 0xED is no UTF-8\n")); // a surrogate
    CHECK(told(kit("<note>a\x07z</note>")) == "3:8 character: character U+0007 is not allowed in XML\n");
    CHECK(told(kit("<note>\xEF\xBF\xBFz</note>")) ==
          "3:7 character: character U+FFFF is not allowed in XML\n");
    CHECK(told(kit("", "", std::string("\0<b/>", 5))) == "3:11 character: a NUL byte stands in the file\n");
    CHECK(told(std::string("\xFF\xFE<\0h\0", 6)) == "1:1 encoding: the file is in UTF-16\n");
}

TEST_CASE("references") {
    CHECK(told(kit("<note>a &copy; b</note>")) == "3:9 entity: &copy; is not defined\n");
    CHECK(told(kit("<note>a & b</note>")) == "3:9 entity: a bare & begins a reference\n");
    CHECK(told(kit("<note>a&#0;b</note>")) == "3:8 character: &#0; is no character of XML\n");
    CHECK(told(kit("<note>a&#xD800;b</note>")) == "3:8 character: &#xD800; is no character of XML\n");
    CHECK(told(kit("<note>a&#99999999999;b</note>")) ==
          "3:8 character: &#99999999999; is no character of XML\n");
    CHECK(told(kit("<note about=\"&foo;\">x</note>")).starts_with("3:14 entity: &foo; is not defined\n"));
}

TEST_CASE("attributes and text") {
    CHECK(told(kit("<post id=\"X\" id=\"Y\"/>")) == "3:14 attribute-twice: attribute id is given twice\n");
    CHECK(told(kit("<post id=\"X\" label=\"a<b\"/>")) ==
          "3:22 not-well-formed: \"<\" stands in an attribute's value\n");
    CHECK(told(kit("<note>a ]]> b</note>")) == "3:9 not-well-formed: \"]]>\" stands in text\n");
    CHECK(told(kit("<!-- a -- b -->")) == "3:8 not-well-formed: \"--\" stands in a comment\n");
    CHECK(told(kit("<post id=\"X\"> </post>")) == "read"); // may hold terminals
    CHECK(told(kit("<duty id=\"d\" engine=\"idle\"> </duty>")) == "3:28 stray-text: <duty> holds blanks\n");
}

TEST_CASE("namespaces") {
    CHECK(told("<harness title=\"t\">" + zone + parts + "</harness>") ==
          "1:2 namespace: <harness> has no namespace\n");
    CHECK(told("<harness xmlns=\"urn:x\" title=\"t\">" + zone + parts + "</harness>") ==
          "1:2 namespace: <harness> is in the unknown namespace \"urn:x\"\n");
    CHECK(told(kit("<x:zone xmlns:x=\"urn:x\" id=\"b\" ambient=\"1 degC\"/>")) ==
          "3:2 namespace: <x:zone> is not in the namespace of the file\n");
    CHECK(told("<boat xmlns=\"urn:stoutloom:harness:1\"/>") ==
          "1:2 unknown-element: the root element is <boat>\n");
}

TEST_CASE("bounds on time and memory") {
    CHECK(told(kit(""), {.bytes = 100}) == "1:1 too-large: the file has 238 bytes, more than 100\n");
    std::string deep = "<harness>";
    for (int i = 0; i < 100'000; ++i)
        deep += "<a>";
    CHECK(told(deep) == "1:55 too-deep: elements are nested deeper than 16\n");
    CHECK(told(kit("<post id=\"X\"/><post id=\"Y\"/>"), {.elements = 8})
              .find("too-many: there are more than 8 elements") != std::string::npos);
    CHECK(told("<harness a=\"\" b=\"\" c=\"\"/>", {.attributes = 2}) ==
          "1:20 too-many: an element has more than 2 attributes\n");
}

TEST_CASE("files that cannot be had") {
    const testing::TemporaryFolder folder;
    const auto told_of = [](const std::string& path) {
        const auto read = read::read_file(path);
        REQUIRE(!read);
        REQUIRE(read.error().mistakes.size() == 1);
        return base::shown(read.error().mistakes.front(), read.error().source);
    };
    const std::string missing = folder.path() + "/missing.xml";
    CHECK(told_of(missing) == missing + ": error: unreadable: no such file; check the name and the folder\n");
    CHECK(told_of(folder.path()) ==
          folder.path() + ": error: unreadable: is a directory; name a harness file inside it\n");
    const std::string empty = folder.file("empty.xml", "");
    CHECK(told_of(empty) == empty + ": error: empty-file: the file holds no element; begin with <harness "
                                    "xmlns=\"urn:stoutloom:harness:1\" title=\"...\">\n");
    const std::string pipe = folder.path() + "/pipe";
    REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
    CHECK(told_of(pipe) == pipe + ": error: unreadable: is not a regular file; name a harness file\n");
    const std::string large = folder.file("large.xml", std::string(5U << 20U, ' '));
    CHECK(told_of(large) == large + ": error: unreadable: is 5242880 bytes long, more than the limit of "
                                    "4194304; split the harness or take out what is not part of it\n");
}
