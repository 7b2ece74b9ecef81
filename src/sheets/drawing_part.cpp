// PDF is drawn by a part that is loaded when it is first asked for: its libraries take longer to
// load than most commands take (docs/decisions/0092-pdf-is-a-loaded-part.md).
#include "drawn_apart.hpp"
#include "messages.hpp"
#include "pdf_functions.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>

#include <dlfcn.h>
#include <fmt/format.h>

#include <filesystem>

namespace holdwarden::sheets {
namespace {

namespace fs = std::filesystem;

/// Beside the installed program, else where it was built.
fs::path file_of_part() {
    std::error_code code;
    const fs::path program = fs::read_symlink("/proc/self/exe", code);
    if (!code) {
        const fs::path installed = program.parent_path() / HOLDWARDEN_PDF_PART_FROM_BIN;
        if (fs::exists(installed, code)) {
            return installed;
        }
    }
    return HOLDWARDEN_PDF_PART_BUILT;
}

const PdfFunctions& load() {
    const fs::path file = file_of_part();
    void* part = dlopen(file.c_str(), RTLD_NOW | RTLD_LOCAL); // stays: what it drew with has state
    const void* functions = part == nullptr ? nullptr : dlsym(part, kPdfFunctions);
    if (functions == nullptr) {
        throw Error{ErrorKind::bad_input,
                    {.what = fmt::format(msg::no_drawing_part, for_display(dlerror())),
                     .where = for_display(file.string()),
                     .fix = msg::no_drawing_part_fix}};
    }
    return *static_cast<const PdfFunctions*>(functions);
}

} // namespace

std::string to_pdf(std::span<const Sheet> sheets, Paper paper) {
    return drawn_apart([&] { return load().sheets(sheets, paper); });
}

std::string to_pdf(const PenForm& form, Paper paper) {
    return drawn_apart([&] { return load().form(form, paper); });
}

std::string label_pdf(const Label& label, LabelSize size, int copies) {
    return drawn_apart([&] { return load().label(label, size, copies); });
}

} // namespace holdwarden::sheets
