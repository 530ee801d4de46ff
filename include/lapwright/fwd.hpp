#pragma once
/// \file fwd.hpp  The name of every public type, for a host's own headers: they pay for no standard header,
/// and the files that look inside include the stage's header.

namespace lapwright {
inline namespace v0 {

// bands.hpp
struct BandRing;
class CourseBands;

// boards.hpp
struct Placement;
struct Offcut;
struct Board;
struct Packing;

// certificate.hpp
struct CertifiedBound;

// courses.hpp
struct Pole;
struct WallCourses;
struct Courses;
struct MarkStrip;
struct PoleCost;
struct PoleDeparture;

// cutting.hpp
struct CutDemand;
struct CutStock;
struct CutPattern;
struct CutLengths;

// document.hpp
struct ReadPlan;

// drawing.hpp
struct ElevationOptions;
enum class Paper;

// error.hpp
struct Fault;
class Refused;

// fasteners.hpp
enum class NailBase;
struct Nail;
struct NailTally;
struct Fastening;

// finding.hpp
enum class Severity;
struct Finding;

// framing.hpp
struct Stud;

// geometry.hpp
struct Point;
struct Polygon;
struct Interval;
struct Box;

// job.hpp
struct StockOffcut;
struct BoardRules;
enum class CourseMode;
struct BuiltJoint;
struct CourseRules;
struct JointRules;
struct CuttingRules;
struct StarterRules;
struct TrimRules;
struct SheathingRules;
struct FastenerRules;
struct SealRules;
struct StagingRules;
struct SearchRules;
struct LoadRules;
struct Rules;
enum class EdgeKind;
struct Edge;
struct Opening;
struct Framing;
struct Wall;
struct Job;

// joints.hpp
struct Joint;
struct Joints;

// lap.hpp
struct LapProfile;

// length.hpp
enum class Unit;
enum class LengthStyle;

// loads.hpp
struct WallPressures;
struct AttachmentHeight;
struct LoadFigures;
struct Loads;

// pieces.hpp
enum class CutKind;
enum class Tool;
enum class Hand;
struct Cut;
struct PieceEnd;
struct Piece;

// plan.hpp
struct PlanWall;
struct Plan;
struct PlanOptions;

// rake.hpp
struct RakeTemplate;

// runs.hpp
struct Run;
enum class StarterPlace;
struct Starter;
struct Runs;

// search.hpp
struct SearchWall;
struct SearchProgress;
struct CertificatePrice;
struct CertificateStack;
struct Certificate;
struct Settled;

// takeoff.hpp
struct OrderLine;
struct NailCounts;
struct Order;
struct Lift;
struct NailOrder;
struct EdgeWork;
struct CutStation;
struct TakeoffOptions;
struct TakeoffWall;
struct Takeoff;

// wall.hpp
enum class Meets;
struct Boundary;
struct GrownOpening;
struct Region;
struct Mark;
struct WallHeights;

}  // namespace v0
}  // namespace lapwright
