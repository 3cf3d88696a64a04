//! Real outlines: filled icons of two general-purpose sets (dev-dependencies `icondata_mdi`,
//! MIT, and `icondata_fa`, MIT) as dish outlines 200 mm wide.

use icondata_core::IconData;
use treen::curve::svg::file_outline;
use treen::curve::{Origin, Point, Region, Vec2};
use treen::reach::{Profile, closing, opening};

/// Radii of the usual profile cutters, 1/16 to 1/2 in, mm.
const RADII: [f64; 6] = [0.79375, 1.5875, 2.38125, 3.175, 4.7625, 6.35];

/// An icon 200 mm wide; `None` where it has no filled area.
fn icon(data: &IconData) -> Option<Region> {
    let (view, drawing) = (data.view_box?, data.data);
    let xmlns = "http://www.w3.org/2000/svg";
    let svg = format!("<svg xmlns=\"{xmlns}\" viewBox=\"{view}\">{drawing}</svg>");
    Region::filled(&file_outline(&svg, 200.0).ok()?, Origin(0)).ok()
}

fn regions() -> impl Iterator<Item = (usize, Region)> {
    ICONS.iter().enumerate().filter_map(|(index, data)| Some((index, icon(data)?)))
}

#[test]
fn icons_become_outlines() {
    let count = regions().count();
    assert!(count >= ICONS.len() - 2, "only {count} of {} have an area", ICONS.len());
}

/// Two routes of our own must agree: the sum of the leftovers and what closing or opening
/// changed. Fitted arcs may lie 0.0005 mm off the curves they stand for; a twentieth of that
/// along the whole edge is allowed.
#[test]
fn leftovers_add_up_to_what_closing_and_opening_change() {
    let (mut answers, mut unsure) = (0, 0);
    for (index, region) in regions() {
        let slack = 0.0005 / 20.0 * region.perimeter();
        for c in RADII {
            let pairs = [
                (Profile::outside(&region, 20.0), closing(&region, c, Origin(0)), 1.0),
                (Profile::inside(&region, 20.0), opening(&region, c, Origin(0)), -1.0),
            ];
            for (profile, changed, sign) in pairs {
                answers += 1;
                let (Some(left), Some(changed)) = (profile.leftovers(c), changed) else {
                    unsure += 1;
                    continue;
                };
                let sum: f64 = left.iter().map(|l| l.area).sum();
                let change = sign * (changed.area() - region.area());
                assert!(
                    (sum - change).abs() < slack,
                    "icon {index}, radius {c}, sign {sign}: leftovers {sum}, change {change}"
                );
            }
        }
    }
    assert!(unsure * 100 <= answers, "{unsure} of {answers} not made sure of");
}

/// The reach is never above what a brute-force search finds: every pair of points 0.25 mm
/// apart along the edge. (The search sees points only, so it may find too much, never too
/// little: each pair it finds bounds the true reach from above.)
#[test]
fn reach_is_never_above_a_brute_force_search() {
    for (index, region) in regions() {
        let places = places(&region);
        let mut bound = f64::INFINITY;
        for (p, n) in &places {
            for (q, _) in &places {
                let v = *q - *p;
                let ahead = n.dot(v);
                if ahead > 0.02 * v.hypot() {
                    bound = bound.min(v.hypot2() / (2.0 * ahead));
                }
            }
        }
        let low = Profile::outside(&region, 200.0).lowest_reach();
        let reach = low.map_or(200.0, |low| low.radius);
        assert!(
            reach <= bound + 0.002,
            "icon {index}: reach {reach}, but {bound} was found"
        );
    }
}

/// Points along the edge with their normals to the right.
fn places(region: &Region) -> Vec<(Point, Vec2)> {
    let mut places = Vec::new();
    for contour in region.contours() {
        for piece in contour.pieces() {
            let count = (piece.curve.length() / 0.25).ceil().max(2.0);
            for i in 0..=count as usize {
                let t = i as f64 / count;
                let way = piece.curve.tangent(t);
                places.push((piece.curve.eval(t), Vec2::new(way.y, -way.x)));
            }
        }
    }
    places
}

static ICONS: &[&IconData] = &[
    icondata_mdi::MdiAccessPoint,
    icondata_mdi::MdiAlarmNoteOff,
    icondata_mdi::MdiAlphabetCyrillic,
    icondata_mdi::MdiArrowHorizontalLock,
    icondata_mdi::MdiBackspace,
    icondata_mdi::MdiBeakerCheckOutline,
    icondata_mdi::MdiBookSettings,
    icondata_mdi::MdiBusSign,
    icondata_mdi::MdiCarCog,
    icondata_mdi::MdiCellphoneNfc,
    icondata_mdi::MdiCircleHalfFull,
    icondata_mdi::MdiCloudMinus,
    icondata_mdi::MdiContentSaveEdit,
    icondata_mdi::MdiCursorDefault,
    icondata_mdi::MdiDivingScubaMask,
    icondata_mdi::MdiEmailSyncOutline,
    icondata_mdi::MdiFile,
    icondata_mdi::MdiFilterMinusOutline,
    icondata_mdi::MdiFolderKeyNetworkOutline,
    icondata_mdi::MdiFormatStrikethroughVariant,
    icondata_mdi::MdiGift,
    icondata_mdi::MdiHeadRemoveOutline,
    icondata_mdi::MdiHumanDolly,
    icondata_mdi::MdiInvoiceTextClockOutline,
    icondata_mdi::MdiLayersOutline,
    icondata_mdi::MdiMagnetOn,
    icondata_mdi::MdiMicrophoneMessageOff,
    icondata_mdi::MdiMovieOpenStar,
    icondata_mdi::MdiNumeric0CircleOutline,
    icondata_mdi::MdiPailOutline,
    icondata_mdi::MdiPhoneSync,
    icondata_mdi::MdiPrinterPosAlertOutline,
    icondata_mdi::MdiRecordCircle,
    icondata_mdi::MdiRoundedCorner,
    icondata_mdi::MdiShapeOutline,
    icondata_mdi::MdiSkipPreviousCircle,
    icondata_mdi::MdiSquareRoundedBadge,
    icondata_mdi::MdiSwapVerticalCircleOutline,
    icondata_mdi::MdiTextBoxPlus,
    icondata_mdi::MdiToyBrickMinus,
    icondata_fa::Fa2Solid,
    icondata_fa::FaArrowDownShortWideSolid,
    icondata_fa::FaArrowsDownToPeopleSolid,
    icondata_fa::FaBangladeshiTakaSignSolid,
    icondata_fa::FaBookAtlasSolid,
    icondata_fa::FaBridgeSolid,
    icondata_fa::FaCalendarCheckSolid,
    icondata_fa::FaCediSignSolid,
    icondata_fa::FaChildSolid,
    icondata_fa::FaClapperboardSolid,
    icondata_fa::FaCommentNodesSolid,
    icondata_fa::FaDharmachakraSolid,
    icondata_fa::FaDrumSteelpanSolid,
    icondata_fa::FaFSolid,
    icondata_fa::FaFaceSurpriseSolid,
    icondata_fa::FaFileShieldSolid,
    icondata_fa::FaFontSolid,
    icondata_fa::FaGripVerticalSolid,
    icondata_fa::FaHandsHoldingCircleSolid,
    icondata_fa::FaHelmetUnSolid,
    icondata_fa::FaHouseMedicalCircleCheckSolid,
    icondata_fa::FaJetFighterUpSolid,
    icondata_fa::FaLiraSignSolid,
    icondata_fa::FaMarsStrokeRightSolid,
    icondata_fa::FaMoneyBillSolid,
    icondata_fa::FaOilWellSolid,
    icondata_fa::FaPercentSolid,
    icondata_fa::FaPersonSkiingNordicSolid,
    icondata_fa::FaPlugCircleBoltSolid,
    icondata_fa::FaRectangleXmarkSolid,
    icondata_fa::FaRulerVerticalSolid,
    icondata_fa::FaShieldHalvedSolid,
    icondata_fa::FaSortSolid,
    icondata_fa::FaSquareUpRightSolid,
    icondata_fa::FaTableCellsLargeSolid,
    icondata_fa::FaTentSolid,
    icondata_fa::FaTransgenderSolid,
    icondata_fa::FaUnlockSolid,
    icondata_fa::FaUsersSlashSolid,
    icondata_fa::FaWalletSolid,
];
