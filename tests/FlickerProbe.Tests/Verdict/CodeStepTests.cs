using FlickerProbe.Verdict;
using Xunit;

namespace FlickerProbe.Tests.Verdict;

public class CodeStepTests
{
    [Fact] // ITU-R BT.709-6: the curve itself.
    public void One_code_step_near_mid_scale_is_a_depth_of_about_0_85_per_cent() => Assert.Equal(0.0085, CodeStep.DepthNearMidScale, 5e-5);

    [Fact] // Recomputed from the curve: at L = 0.18 one 8-bit step is 1.997 % of the light, a depth of half that.
    public void One_code_step_at_eighteen_per_cent_grey() =>
        Assert.Equal(0.01997 / 2, CodeStep.DepthAt((int)Math.Round(16 + 219 * 0.409008)), 1.5e-4);
}
