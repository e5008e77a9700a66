// SPDX-License-Identifier: MIT
// Words in a picture: how wide they are about, where they break, where beside a mark there is room for them.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace counterion::report {

/// A point of the picture, in pixels from its top left corner.
struct Spot {
  double x = 0, y = 0;
};

/// An upright rectangle of the picture.
struct Box {
  double left = 0, top = 0, right = 0, bottom = 0;

  double width() const { return right - left; }
  double height() const { return bottom - top; }
  bool meets(const Box& other) const {
    return left < other.right && other.left < right && top < other.bottom && other.top < bottom;
  }
  bool holds(const Box& other) const {
    return left <= other.left && other.right <= right && top <= other.top && other.bottom <= bottom;
  }
};

/// Pixels that words take in a wide sans-serif letter of this size; rather too many than too few.
double width_of(std::string_view text, double size);

/// The words on at most so many lines of limited width, "…" for what finds no room.
std::vector<std::string> lines_of(std::string_view text, double size, double width, std::size_t most);

/// Finds places for labels beside marks: inside the frame, off other labels and all marks, rather off
/// the curve and the level lines.
class LabelRoom {
 public:
  LabelRoom(const Box& frame, const std::vector<Spot>& curve, const std::vector<Spot>& marks,
            const std::vector<double>& levels);

  /// Keeps the box of a label beside a mark; false, and no box, where there is no room.
  bool find(const Spot& mark, double width, double height, Box& box);

 private:
  double cost_of(const Box& box) const;

  Box frame_;
  std::vector<Spot> curve_, marks_;
  std::vector<double> levels_;
  std::vector<Box> taken_;
};

}  // namespace counterion::report
