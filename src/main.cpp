#include <holdwarden/cli/run.hpp>

int main(int argc, char** argv) {
    return holdwarden::cli::run_process(argc, argv);
}
