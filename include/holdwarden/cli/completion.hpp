#pragma once

#include <holdwarden/cli/declared.hpp>

#include <functional>
#include <string>
#include <vector>

namespace holdwarden::cli {

/// One word that could stand where the cursor is.
struct Candidate {
    std::string word;
    std::string help; ///< what it is, on one line; may be empty
};

/// What may stand where the cursor is.
struct Completion {
    enum class Files { no, any, folders };

    std::vector<Candidate> candidates; ///< each begins with the word at the cursor
    Files files = Files::no;           ///< whether the shell should offer names of files
};

/// Names that only the outside knows: those of lots, units, probes and people in the store that
/// `--store` names (empty: the usual one), and of packs. An unknown kind gives none.
using NameSource =
    std::function<std::vector<Candidate>(Takes kind, const std::string& store_option)>;

/// Completes the last of `words` (possibly empty; without the program's name), which may stand in
/// the middle of an unfinished command line. Never throws for odd input.
Completion completion(std::vector<std::string> words, const std::vector<DeclaredCommand>& commands,
                      const NameSource& names);

} // namespace holdwarden::cli
