//! Where the rig works.

use uom::si::f64::{Length, Pressure};

use super::{Choice, Reported, Resolver};
use crate::air::atmosphere;
use crate::rig::Site;
use crate::rig::problem::Problem;
use crate::units::AbsolutePressure;

impl Resolver<'_> {
    /// Where the rig works. Asking again gives the same answer without saying anything twice.
    ///
    /// # Errors
    /// If the table says something wrong.
    pub fn site(&mut self) -> Result<Site, Reported> {
        if let Some(site) = self.site {
            return site;
        }
        let atmosphere = self.atmosphere();
        let temperature = self.with_default("site.temperature");
        let site = match (atmosphere, temperature) {
            (Ok((atmosphere, altitude)), Ok(temperature)) => Ok(Site { atmosphere, altitude, temperature }),
            (Err(reported), _) | (_, Err(reported)) => Err(reported),
        };
        self.site = Some(site);
        site
    }

    /// The pressure, and the altitude from which it follows if no barometer gives it.
    fn atmosphere(&mut self) -> Result<(AbsolutePressure, Option<Length>), Reported> {
        let reason = "each says the pressure of the atmosphere by itself";
        let choice = match self.either("site.altitude", "site.barometer", reason) {
            Ok(choice) => choice,
            Err(reported) => {
                // The values themselves may be wrong too.
                let _ = self.optional::<Length>("site.altitude");
                let _ = self.optional::<Pressure>("site.barometer");
                return Err(reported);
            }
        };
        let place = self.place_of("site.altitude");
        let (pressure, altitude) = if choice == Choice::Second {
            (AbsolutePressure::new(self.required("site.barometer")?), None)
        } else {
            let altitude = self.with_default("site.altitude")?;
            (atmosphere::pressure(altitude), Some(altitude))
        };
        pressure
            .map(|pressure| (pressure, altitude))
            .map_err(|error| self.report(Problem::new(place, error.to_string())))
    }
}
