using Acquire.Imaging.Layout;
using Acquire.Imaging.Scenes;

namespace Acquire.Imaging.Sheets;

/// <summary>One kind of chart on a sheet.</summary>
internal interface ISheet
{
    /// <summary>What stands beside the title block.</summary>
    SideContent Side();

    /// <summary>Draws the chart into what is left of the sheet.</summary>
    void Draw(Box area, bool isCompact);
}
