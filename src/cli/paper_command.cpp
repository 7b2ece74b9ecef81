// Texts kept on file and printed on demand: the written procedure that time control needs, how the
// kitchen cools.
#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/day_use.hpp>
#include <holdwarden/cli/printed_page.hpp>
#include <holdwarden/sheets/pen_form.hpp>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <ostream>

namespace holdwarden::cli {
namespace {

struct KeepOptions {
    StoreArguments store;
    std::string name;
    std::string kind;
    std::string title;
    std::string file;
};

struct ShowOptions {
    StoreArguments store;
    PageArguments page;
    std::string name;
    std::string version;
    std::string paper;
};

struct ListOptions {
    StoreArguments store;
    std::string format;
};

records::PaperKind kind_word(const std::string& text) {
    const auto kind = records::paper_kind_named(text);
    if (!kind) {
        throw Error{ErrorKind::usage,
                    {.what = fmt::format("--kind '{}' is not known", for_display(text, 60)),
                     .where = "",
                     .fix = "give time-control-procedure, cooling-method or other"}};
    }
    return *kind;
}

std::string read_text(const std::string& file, Context& context) {
    if (file == "-") {
        return {std::istreambuf_iterator<char>{context.in}, {}};
    }
    std::error_code code;
    std::ifstream in{file, std::ios::binary};
    if (!in || std::filesystem::is_directory(file, code) ||
        std::filesystem::file_size(file, code) > 2 * records::kLongestPaper) {
        throw Error{ErrorKind::bad_input,
                    {.what = "the text cannot be read, or it is too long",
                     .where = for_display(file),
                     .fix = fmt::format("name a text file of at most {} bytes, or - for standard "
                                        "input",
                                        records::kLongestPaper)}};
    }
    std::string text{std::istreambuf_iterator<char>{in}, {}};
    std::erase(text, '\r');
    return text;
}

int run_keep(const KeepOptions& o, Context& context) {
    if (o.file.empty()) {
        throw Error{ErrorKind::usage,
                    {.what = "--file is missing",
                     .where = "",
                     .fix = "name the text file, or - for standard input"}};
    }
    const OpenStore store{o.store, context, store::Access::write};
    const records::Paper paper{.name = o.name,
                               .kind =
                                   o.kind.empty() ? records::PaperKind::other : kind_word(o.kind),
                               .title = o.title.empty() ? o.name : o.title,
                               .text = read_text(o.file, context)};
    const int version = store->day_book().keep(paper, store.stamp());
    context.out << fmt::format("Paper {}, version {}, kept on file", paper.name, version)
                << store.entered(store.now()) << ".\n";
    return kDone;
}

/// The version asked for, else the latest.
records::StoredPaper paper_named(const OpenStore& store, const std::string& name,
                                 const std::string& version) {
    std::optional<records::StoredPaper> found;
    std::vector<std::string> names;
    for (const records::StoredPaper& one : store->day_book().papers()) {
        if (std::find(names.begin(), names.end(), one.facts.name) == names.end()) {
            names.push_back(one.facts.name);
        }
        if (one.facts.name == name &&
            (version.empty() || one.facts.version == record_number(version, "--version-of"))) {
            found = one;
        }
    }
    if (!found) {
        throw Error{ErrorKind::not_found,
                    {.what = fmt::format("there is no {}paper '{}' on file",
                                         version.empty() ? "" : "such version of a ",
                                         for_display(name, 60)),
                     .where = "",
                     .fix = names.empty() ? "keep one with: holdwarden paper keep NAME --file FILE"
                                          : "there is " + listed(names)}};
    }
    return *found;
}

int run_show(const ShowOptions& o, Context& context) {
    const PageForm form = o.page.form(context);
    const OpenStore store{o.store, context, store::Access::read};
    const sheets::Paper paper = paper_word(o.paper, store.site().scale);
    const records::StoredPaper found = paper_named(store, o.name, o.version);
    const std::string by = found.stamp.by.empty() ? "nobody named" : found.stamp.by;
    const sheets::PenForm page{
        .title = found.facts.title,
        .site = store.site().name,
        .lines = {fmt::format("{}, version {}, kept on file by {} on {}", to_name(found.facts.kind),
                              found.facts.version, by, store.shown(found.stamp.entered_at))},
        .body = found.facts.text,
        .foot =
            "The kitchen's own text, as it was kept on file. holdwarden does not judge it; your "
            "regulator does.",
        .made = to_rfc3339(found.stamp.entered_at, store.zone())};
    deliver(o.page,
            form == PageForm::text   ? sheets::to_text(page)
            : form == PageForm::html ? sheets::to_html(page)
                                     : sheets::to_pdf(page, paper),
            context);
    return kDone;
}

int run_list(const ListOptions& o, Context& context) {
    const bool json = json_wanted(o.format);
    const OpenStore store{o.store, context, store::Access::read};
    nlohmann::ordered_json all = nlohmann::ordered_json::array();
    std::vector<std::vector<std::string>> rows{{"paper", "version", "kind", "title", "kept"}};
    for (const records::StoredPaper& one : store->day_book().papers()) {
        if (json) {
            all.push_back({{"paper", one.facts.name},
                           {"version", one.facts.version},
                           {"kind", to_name(one.facts.kind)},
                           {"title", one.facts.title},
                           {"text", one.facts.text},
                           {"by", one.stamp.by.empty() ? nlohmann::ordered_json{}
                                                       : nlohmann::ordered_json(one.stamp.by)},
                           {"entered_at", to_utc_text(one.stamp.entered_at)}});
        } else {
            rows.push_back({one.facts.name, std::to_string(one.facts.version),
                            std::string{to_name(one.facts.kind)}, one.facts.title,
                            store.shown(one.stamp.entered_at) +
                                (one.stamp.by.empty() ? "" : " by " + one.stamp.by)});
        }
    }
    if (json) {
        const nlohmann::ordered_json answer{{"format", "holdwarden-papers/1"}, {"papers", all}};
        context.out << answer.dump(2) << "\n";
    } else if (rows.size() == 1) {
        context.out << "No papers on file; keep one with: holdwarden paper keep NAME --file FILE\n";
    } else {
        context.out << table(rows);
    }
    return kDone;
}

} // namespace

std::vector<Command> paper_commands() {
    const auto keep = std::make_shared<KeepOptions>();
    const auto show = std::make_shared<ShowOptions>();
    const auto list = std::make_shared<ListOptions>();
    return {
        {.name = "paper keep",
         .help = "Keep a text on file, such as the written procedure for time control",
         .declare =
             [keep](Arguments& a) {
                 a.need("name", keep->name, "What it is called; the same name is a new version");
                 a.option("--kind", keep->kind,
                          "time-control-procedure, cooling-method or other (other)");
                 a.option("--title", keep->title, "Its heading (the name)");
                 a.option("--file", keep->file, "The text, UTF-8; - for standard input");
                 keep->store.declare_writing(a);
                 a.example("holdwarden paper keep counter --kind time-control-procedure --title "
                           "\"Brisket at the counter\" --file counter.txt --by RK");
             },
         .run = [keep](Context& context) { return run_keep(*keep, context); }},
        {.name = "paper show",
         .help = "Print a text kept on file",
         .declare =
             [show](Arguments& a) {
                 a.need("name", show->name, "What it is called");
                 a.option("--version-of", show->version,
                          "An earlier version's number (the latest)");
                 a.option("--paper", show->paper,
                          "letter or a4, for PDF (else by the site's scale)");
                 show->page.declare(a);
                 show->store.declare_reading(a);
                 a.example("holdwarden paper show counter --output counter.pdf");
             },
         .run = [show](Context& context) { return run_show(*show, context); }},
        {.name = "paper list",
         .help = "List the texts kept on file, with every version",
         .declare =
             [list](Arguments& a) {
                 a.option("--format", list->format, "text or json");
                 list->store.declare_reading(a);
                 a.example("holdwarden paper list");
             },
         .run = [list](Context& context) { return run_list(*list, context); }},
    };
}

} // namespace holdwarden::cli
