// What tests/mutation/run writes into a copy of src/judge: every mutant in one program, one of them alive at a
// time, chosen by the variable MUTANT. `a < b` becomes `a < less(7, 8) < b`: the same precedence, the same
// operands, and a say for mutants 7 (<=) and 8 (>=).
#pragma once

#include <algorithm>
#include <cstdlib>

namespace mutants {

/// The exit status of a mutant that cannot be: its operands have no such operator.
inline constexpr int kNoSuchOperator = 99;

inline const int kAlive = [] {
    const char* said = std::getenv("MUTANT");
    return said == nullptr ? 0 : std::atoi(said);
}();

[[noreturn]] inline void impossible() { std::_Exit(kNoSuchOperator); }

enum class Kind { less, less_equal, greater, greater_equal, equal, unequal, plus, minus };

template <Kind K>
struct Between {
    int first;
};

template <Kind K, class A>
struct Left {
    const A& a;
    int first;
};

template <Kind K, class A, class B>
decltype(auto) apply(const A& a, const B& b) {
    if constexpr (K == Kind::less) {
        return a < b;
    } else if constexpr (K == Kind::less_equal) {
        return a <= b;
    } else if constexpr (K == Kind::greater) {
        return a > b;
    } else if constexpr (K == Kind::greater_equal) {
        return a >= b;
    } else if constexpr (K == Kind::equal) {
        return a == b;
    } else if constexpr (K == Kind::unequal) {
        return a != b;
    } else if constexpr (K == Kind::plus) {
        return a + b;
    } else {
        return a - b;
    }
}

template <Kind K, class A, class B>
concept Can = requires(const A& a, const B& b) { apply<K>(a, b); };

template <Kind Was, Kind Now, class A, class B>
auto changed(const A& a, const B& b) {
    using Result = decltype(apply<Was>(a, b));
    if constexpr (Now == Kind::minus && !requires { a - b; }) {
        impossible();
        return apply<Was>(a, b);
    } else if constexpr (Now == Kind::plus && !requires { a + b; }) {
        impossible();
        return apply<Was>(a, b);
    } else if constexpr (!requires(Result r) { r = apply<Now>(a, b); }) {
        impossible();
        return apply<Was>(a, b);
    } else {
        return static_cast<std::decay_t<Result>>(apply<Now>(a, b));
    }
}

template <Kind K, class A, class B>
auto decide(const A& a, const B& b, int first) {
    if constexpr (K == Kind::less || K == Kind::less_equal || K == Kind::greater || K == Kind::greater_equal) {
        constexpr Kind kEdge = K == Kind::less            ? Kind::less_equal
                               : K == Kind::less_equal    ? Kind::less
                               : K == Kind::greater       ? Kind::greater_equal
                                                          : Kind::greater;
        constexpr Kind kTurned = K == Kind::less || K == Kind::less_equal
                                     ? (K == Kind::less ? Kind::greater_equal : Kind::greater)
                                     : (K == Kind::greater ? Kind::less_equal : Kind::less);
        return kAlive == first       ? changed<K, kEdge>(a, b)
               : kAlive == first + 1 ? changed<K, kTurned>(a, b)
                                     : apply<K>(a, b);
    } else {
        constexpr Kind kOther = K == Kind::equal     ? Kind::unequal
                                : K == Kind::unequal ? Kind::equal
                                : K == Kind::plus    ? Kind::minus
                                                     : Kind::plus;
        return kAlive == first ? changed<K, kOther>(a, b) : apply<K>(a, b);
    }
}

// Relational, equality and additive operators keep their own precedence on both sides.
template <class A, Kind K>
Left<K, A> operator<(const A& a, Between<K> between) {
    return {a, between.first};
}
template <Kind K, class A, class B>
auto operator<(const Left<K, A>& left, const B& b) {
    return decide<K>(left.a, b, left.first);
}
template <class A, Kind K>
Left<K, A> operator==(const A& a, Between<K> between) {
    return {a, between.first};
}
template <Kind K, class A, class B>
auto operator==(const Left<K, A>& left, const B& b) {
    return decide<K>(left.a, b, left.first);
}
template <class A, Kind K>
Left<K, A> operator+(const A& a, Between<K> between) {
    return {a, between.first};
}
template <Kind K, class A, class B>
auto operator+(const Left<K, A>& left, const B& b) {
    return decide<K>(left.a, b, left.first);
}

struct PlusInto {
    int first;
    bool plus;
};
template <class B>
struct Into {
    const B& b;
    PlusInto how;
};
// `a += b` becomes `a += into(9) += b`, which groups from the right.
template <class B>
Into<B> operator+=(PlusInto how, const B& b) {
    return {b, how};
}
template <class A, class B>
A& operator+=(A& a, const Into<B>& into) {
    const bool turned = kAlive == into.how.first;
    if constexpr (requires { a -= into.b; }) {
        if (into.how.plus == turned) {
            return a -= into.b;
        }
    } else if (turned) {
        impossible();
    }
    if constexpr (requires { a += into.b; }) {
        return a += into.b;
    }
    return a;
}

struct Extreme {
    int first;
    bool least;
    template <class T>
    T operator()(const T& a, const T& b) const {
        return least != (kAlive == first) ? std::min(a, b) : std::max(a, b);
    }
};

inline bool truth(int first, bool value) { return value != (kAlive == first); }

template <class T>
T number(int first, T value) {
    return kAlive == first ? static_cast<T>(value + 1) : value;
}

/// A decimal constant: a tenth more, or 1 for 0.
inline double decimal(int first, double value) {
    return kAlive != first ? value : value != 0.0 ? value * 1.1 : 1.0;
}

} // namespace mutants
