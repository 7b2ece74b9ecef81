#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/printed_page.hpp>
#include <holdwarden/cli/write_file.hpp>

#include <fmt/format.h>

#include <ostream>

namespace holdwarden::cli {
namespace {

Error wrong_usage(std::string what, std::string fix) {
    return Error{ErrorKind::usage, {.what = std::move(what), .where = "", .fix = std::move(fix)}};
}

} // namespace

void PageArguments::declare(Arguments& arguments) {
    arguments.option("--format", format,
                     "text, html or pdf (else by the name of --output, else text)");
    arguments.option("--output", output, "Write it into this file");
    arguments.flag("--force", force, "Replace the file that --output names");
}

PageForm PageArguments::form(const Context& context) const {
    const bool by_name = format.empty();
    PageForm found = PageForm::text;
    if (by_name ? output.ends_with(".html") : format == "html") {
        found = PageForm::html;
    } else if (by_name ? output.ends_with(".pdf") : format == "pdf") {
        found = PageForm::pdf;
    } else if (!by_name && format != "text") {
        throw wrong_usage(fmt::format("--format '{}' is not known", for_display(format, 60)),
                          "give text, html or pdf");
    }
    if (found == PageForm::pdf && output.empty() && context.out_is_terminal) {
        throw wrong_usage("a PDF is nothing to show on a terminal",
                          "give --output FILE, or send it to another program");
    }
    return found;
}

sheets::Paper paper_word(const std::string& text, Scale scale) {
    if (text.empty()) {
        return scale == Scale::fahrenheit ? sheets::Paper::letter : sheets::Paper::a4;
    }
    if (text != "letter" && text != "a4") {
        throw wrong_usage(fmt::format("--paper '{}' is not known", for_display(text, 60)),
                          "give letter or a4");
    }
    return text == "letter" ? sheets::Paper::letter : sheets::Paper::a4;
}

void deliver(const PageArguments& arguments, const std::string& page, Context& context) {
    if (arguments.output.empty()) {
        context.out << page;
        return;
    }
    write_file(arguments.output, page, arguments.force ? IfThere::replace : IfThere::refuse);
    context.out << "Wrote " << for_display(arguments.output) << "\n";
}

} // namespace holdwarden::cli
