// Stock plan: which bars of which lengths to buy, and how to cut every piece of one section from
// them, so that the least length is bought.
//
// The saw. The first `trim_mm` of a bar are cut off, blade included. Pieces follow one after the
// other, each `kerf_mm` behind the one before. Behind the last piece the blade takes another kerf,
// or what there is of it; what remains is the offcut. A piece that ends at the bar's end takes no
// cut there. So pieces l1 ... ln fit a bar of length S exactly when
//   trim + l1 + ... + ln + (n - 1) kerf <= S,
// and the offcut is S less that sum less one kerf, at least 0.
//
// Lengths in whole hundredths of a mm: pieces, kerf and trim rounded up, stock rounded down.
//
// Properties (tested, tests/shop/stock_plan_test.cpp):
//   K1 every piece is cut exactly once or, longer than the longest stock less trim, is listed in
//      `too_long`; never both;
//   K2 no bar is overfull: pieces lie in their bar, past the trim, a kerf apart or more;
//   K3 no plan whatever buys less than `lower_bound_mm`;
//   K4 the same input gives the same plan: the search is limited by counting its steps, never by a
//      clock. The order of pieces decides only which mark lies where among equal lengths.
#pragma once

#include <string>
#include <vector>

namespace leafstack {

struct StockPiece {
  std::string mark;
  double length_mm = 0;  ///< > 0
  int quantity = 1;      ///< >= 0
};

struct StockRules {
  std::vector<double> stock_mm;  ///< lengths on sale, any number of each; > 0, to 100 m
  double kerf_mm = 0;            ///< >= 0, to 100 m
  double trim_mm = 0;            ///< >= 0, to 100 m
};

struct StockCut {
  std::string mark;
  double length_mm = 0;  ///< as asked for
  double from_mm = 0;    ///< its start, from the start of the bar
};

struct StockBar {
  double stock_mm = 0;         ///< down to the hundredth
  std::vector<StockCut> cuts;  ///< longest first
  double offcut_mm = 0;
};

struct StockPlan {
  std::vector<StockBar> bars;  ///< longest first, equal bars together
  double bought_mm = 0;
  double needed_mm = 0;       ///< of all pieces cut
  double waste_share = 0;     ///< of what is bought: trim, kerfs and offcuts; 0 = nothing bought
  double lower_bound_mm = 0;  ///< K3: from linear programming, up to the next sum of stock lengths
  double gap_share = 0;       ///< (bought - bound) / bought
  bool is_proved = false;     ///< the bound is reached: no plan buys less
  std::vector<StockPiece> too_long;
};

/// What no stock length holds, as planStock() finds it; throws as that does.
std::vector<StockPiece> tooLongPieces(const std::vector<StockPiece>& pieces,
                                      const StockRules& rules);

/// The best plan found. Without any stock length all pieces are too long. Throws
/// std::invalid_argument for figures out of range, NaN and infinity among them, and for more than
/// 100000 pieces.
StockPlan planStock(std::vector<StockPiece> pieces, const StockRules& rules);

}  // namespace leafstack
