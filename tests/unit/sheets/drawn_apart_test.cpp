// A process of its own for what may end the process it runs in. The ways a process ends are those
// of POSIX.1-2017, waitpid and abort.
#include "../../../src/sheets/drawn_apart.hpp"

#include <holdwarden/base/error.hpp>

#include <catch2/catch.hpp>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <new>
#include <stdexcept>

using namespace holdwarden;
using sheets::drawn_apart;

namespace {

/// Without the handler that the tests bring.
[[noreturn]] void give_up() {
    (void)std::signal(SIGABRT, SIG_DFL);
    std::abort();
}

std::string fault_of(const std::function<std::string()>& draw, sheets::Patience patience = {}) {
    try {
        drawn_apart(draw, patience);
    } catch (const Error& e) {
        CHECK(e.kind() == ErrorKind::bad_input);
        CHECK_FALSE(e.text().fix.empty());
        return e.text().what;
    }
    return "";
}

} // namespace

TEST_CASE("what is drawn apart comes back whole, whatever its bytes and length") {
    CHECK(drawn_apart([] { return std::string{}; }).empty());
    CHECK(drawn_apart([] { return std::string("a\0b", 3); }) == std::string("a\0b", 3));
    std::string longer(5'000'000, 'x');
    longer.back() = 'y';
    CHECK(drawn_apart([&] { return longer; }) == longer);
    const pid_t here = ::getpid();
    CHECK(drawn_apart([] { return std::to_string(::getpid()); }) != std::to_string(here));
}

TEST_CASE("what goes wrong in it is told as it was") {
    try {
        drawn_apart([]() -> std::string {
            throw Error{ErrorKind::conflict, {.what = "what", .where = "", .fix = "fix it"}};
        });
        FAIL("nothing was thrown");
    } catch (const Error& e) {
        CHECK(e.kind() == ErrorKind::conflict);
        CHECK(e.text().what == "what");
        CHECK(e.text().where.empty());
        CHECK(e.text().fix == "fix it");
    }
    CHECK_THROWS_AS(drawn_apart([]() -> std::string { throw std::bad_alloc{}; }), std::bad_alloc);
}

TEST_CASE("a process that ends without a drawing is told, and waited for") {
    CHECK(fault_of([]() -> std::string { give_up(); }).find("memory runs out") !=
          std::string::npos);
    CHECK(fault_of([]() -> std::string { ::_exit(0); }).find("memory runs out") !=
          std::string::npos);
    // Its last words are shown, as may be shown on a terminal.
    CHECK(fault_of([]() -> std::string {
              (void)std::fputs("first\nno memory\x1b[31m for 24 bytes\n\n", stderr);
              give_up();
          }).find("memory runs out: no memory\\x1B[31m for 24 bytes") != std::string::npos);
    CHECK(fault_of([]() -> std::string {
              throw std::length_error{"too long"};
          }).find("memory runs out") != std::string::npos);
    CHECK(::waitpid(-1, nullptr, WNOHANG) == -1); // none is left
}

TEST_CASE("an answer that is cut off is none, also where nobody is told how a process ended") {
    const auto cut_off = []() -> std::string {
        for (int file = 3; file < 64; ++file) { // the pipe is one of them
            struct stat what {};
            if (::fstat(file, &what) == 0 && S_ISFIFO(what.st_mode)) {
                (void)!::write(file, "D100\nxyz", 8);
            }
        }
        ::_exit(0);
    };
    CHECK(fault_of(cut_off).find("memory runs out") != std::string::npos);
    (void)std::signal(SIGCHLD, SIG_IGN);
    CHECK(fault_of(cut_off).find("memory runs out") != std::string::npos);
    CHECK(drawn_apart([] { return std::string{"drawn"}; }) == "drawn");
    (void)std::signal(SIGCHLD, SIG_DFL);
}

TEST_CASE("a drawing that never ends is given up") {
    using std::chrono::seconds;
    const auto waits = []() -> std::string {
        for (;;) {
            ::pause();
        }
    };
    CHECK(fault_of(waits, {.busy = seconds{900}, .still = seconds{2}}).find("stood still") !=
          std::string::npos);
    const auto spins = []() -> std::string {
        volatile bool on = true;
        while (on) {
        }
        return "";
    };
    CHECK(fault_of(spins, {.busy = seconds{1}, .still = seconds{60}}).find("15 minutes") !=
          std::string::npos);
    // One that takes its time is waited for.
    CHECK(drawn_apart(
              [] {
                  ::sleep(2);
                  return std::string{"drawn"};
              },
              {.busy = seconds{1}, .still = seconds{10}}) == "drawn");
    CHECK(::waitpid(-1, nullptr, WNOHANG) == -1);
}
